package poolside

import (
	"context"
	"strings"

	"underkick/internal/record"
)

// giverSetting keeps who gave practice here last.
const giverSetting = "practice-giver"

// Giver returns the name of who gave practice at this computer last, "" = nobody yet.
// Pages propose it.
func (a *App) Giver(ctx context.Context) (string, error) {
	name, _, err := a.store.Setting(ctx, giverSetting)
	return name, err
}

// oneLine is a name as it is kept: one space between words.
func oneLine(name string) string { return strings.Join(strings.Fields(name), " ") }

// rememberGiver keeps the name for the next time; "" changes nothing.
func (a *App) rememberGiver(ctx context.Context, name string) error {
	if name == "" {
		return nil
	}
	return a.store.SetSetting(ctx, giverSetting, name)
}

// Drill returns one drill, ours or an own one, retired or not; ErrNotFound where
// there is none.
func (a *App) Drill(ctx context.Context, id string) (record.Drill, error) {
	if strings.HasPrefix(id, record.OwnPrefix) {
		own, err := a.store.OwnDrill(ctx, id)
		return own.Drill, err
	}
	return OurDrill(id)
}
