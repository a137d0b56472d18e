package cli

import (
	"encoding/json"
	"strings"
	"testing"

	"underkick/internal/record"
)

func TestSquadListsSwimmers(t *testing.T) {
	data, ids := squadFolder(t, record.Swimmer{Name: "Wilma Reed"})
	id := ids[0]
	code, out, errOut := underkick(t, "squad", "--data", data)
	if code != exitOK || !strings.Contains(out, id) || !strings.Contains(out, "Wilma Reed") {
		t.Errorf("code %d, %s%s", code, out, errOut)
	}
	code, out, errOut = underkick(t, "squad", "--data", data, "--json")
	var lines []squadLine
	if err := json.Unmarshal([]byte(out), &lines); code != exitOK || err != nil || len(lines) != 1 || lines[0].ID != id || lines[0].SpeedMPS != nil {
		t.Errorf("code %d, %v, %s%s", code, err, out, errOut)
	}
}
