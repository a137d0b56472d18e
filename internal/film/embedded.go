package film

import (
	"context"
	"errors"
	"log/slog"
)

func openEmbedded(ctx context.Context, opt Options, log *slog.Logger) (*Engine, error) {
	return nil, errors.New("the embedded engine is not built in yet")
}
