package web

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// asksConsent refuses stills as the use cases do where a consent is missing.
type asksConsent struct{ *fixture }

func (a asksConsent) may(ctx context.Context, opt poolside.StillsOptions) error {
	switch {
	case opt.Outside:
		return a.MayShow(ctx, "w1", record.ForOutside)
	case opt.Squad:
		return a.MayShow(ctx, "w1", record.ForSquad)
	}
	return nil
}

func (a asksConsent) Stills(ctx context.Context, id string, opt poolside.StillsOptions) (poolside.StillsView, error) {
	if err := a.may(ctx, opt); err != nil {
		return poolside.StillsView{}, err
	}
	return a.fixture.Stills(ctx, id, opt)
}

func (a asksConsent) StillPicture(ctx context.Context, id string, opt poolside.StillPictureOptions) ([]byte, string, error) {
	if err := a.may(ctx, opt.StillsOptions); err != nil {
		return nil, "", err
	}
	return a.fixture.StillPicture(ctx, id, opt)
}

// TestStillsAskWhoWillSeeThem: who will see them stands in the address of the page and of every
// file on it, and the consent for that is asked of each.
func TestStillsAskWhoWillSeeThem(t *testing.T) {
	f := newFixture(t)
	pages, err := New(Options{App: asksConsent{f}})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	for _, who := range []struct {
		word string
		p    record.Purpose
	}{{"squad", record.ForSquad}, {"outside", record.ForOutside}} {
		f.withheld = nil
		resp, page := get(t, srv.Client(), srv.URL+"/run/r1/stills?for="+who.word)
		if resp.StatusCode != 200 || !strings.Contains(page, `value="`+who.word+`" checked`) {
			t.Fatalf("for %s: %d", who.word, resp.StatusCode)
		}
		for _, link := range []string{"stills.html?for=" + who.word, "drive.png?for=" + who.word, "drive.svg?for=" + who.word} {
			if !strings.Contains(page, link) {
				t.Errorf("for %s: no link to %s", who.word, link)
			}
		}
		f.withheld = map[record.Purpose]bool{who.p: true}
		for _, path := range []string{"/run/r1/stills?for=", "/run/r1/still/drive.png?for=", "/run/r1/still/drive.jpg?for="} {
			if resp, body := get(t, srv.Client(), srv.URL+path+who.word); resp.StatusCode != 422 || !strings.Contains(body, "onsent") {
				t.Errorf("%s%s without consent: %d", path, who.word, resp.StatusCode)
			}
		}
		if resp, _ := get(t, srv.Client(), srv.URL+"/run/r1/stills"); resp.StatusCode != 200 {
			t.Errorf("for myself: %d", resp.StatusCode)
		}
	}
}
