package web

import (
	"context"
	"net/http"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// wallCases is what the pages of walls need of package poolside.
type wallCases interface {
	SquadWalls(ctx context.Context) (poolside.SquadWalls, error)
	Plans(ctx context.Context, swimmerID string) (poolside.PlansView, error)
	NewWalls(ctx context.Context, swimmerID string, in poolside.WallInput) (poolside.WallsView, error)
	WallPlan(ctx context.Context, planID string) (poolside.WallsView, error)
	KeepWalls(ctx context.Context, swimmerID, planID, name string, in poolside.WallInput) (id string, err error)
	NewLadder(ctx context.Context, swimmerID string, in poolside.LadderInput) (poolside.LadderView, error)
	Ladder(ctx context.Context, planID string) (poolside.LadderView, error)
	KeepLadder(ctx context.Context, swimmerID, planID, name string, in poolside.LadderInput) (id string, err error)
	TurnPlan(ctx context.Context, planID string, act record.PlanAct) (record.Plan, error)
}

// wallRoutes are the pages of walls, tempo ladders and click tracks.
func (s *server) wallRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /walls", s.squadWalls)
	mux.HandleFunc("GET /swimmer/{id}/walls", s.swimmerWalls)
	mux.HandleFunc("GET /swimmer/{id}/walls/new", s.newWalls)
	mux.HandleFunc("POST /swimmer/{id}/walls/new", s.addWalls)
	mux.HandleFunc("GET /plan/{id}", s.wallPlan)
	mux.HandleFunc("POST /plan/{id}", s.changeWalls)
	mux.HandleFunc("GET /plan/{id}/plan.json", s.wallJSON)
	mux.HandleFunc("POST /plan/{id}/done", s.takeDone)
	mux.HandleFunc("GET /swimmer/{id}/ladder/new", s.newLadder)
	mux.HandleFunc("POST /swimmer/{id}/ladder/new", s.addLadder)
	mux.HandleFunc("GET /ladder/{id}", s.ladder)
	mux.HandleFunc("POST /ladder/{id}", s.changeLadder)
	mux.HandleFunc("GET /click-track.wav", s.clickTrack)
	mux.HandleFunc("POST /plan/{id}/{turn}", s.turnPlan)
}

// squadWallsPage is the table of the whole squad.
type squadWallsPage struct {
	shell
	poolside.SquadWalls
	Cautions []string
}

func (s *server) squadWalls(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.SquadWalls(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "squad_walls", squadWallsPage{s.shell("Walls", "walls"), view, poolside.BreathCautions()})
}

// swimmerWallsPage lists a swimmer's plans and tempo ladders.
type swimmerWallsPage struct {
	shell
	poolside.PlansView
	Click    clickForm
	Cautions []string
}

func (s *server) swimmerWalls(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Plans(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "swimmer_walls", swimmerWallsPage{
		s.shell("Walls of "+view.Swimmer.Name, "walls"), view, newClickForm(0), poolside.BreathCautions(),
	})
}

// turnPlan takes back, brings back or removes a plan or a ladder.
func (s *server) turnPlan(w http.ResponseWriter, r *http.Request) {
	act := map[string]record.PlanAct{"undo": record.UndoPlan, "redo": record.RedoPlan, "remove": record.RemovePlan}[r.PathValue("turn")]
	if act == "" {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	p, err := s.opt.App.TurnPlan(r.Context(), r.PathValue("id"), act)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	to := planPath(p)
	if p.Removed {
		to = "/swimmer/" + p.SwimmerID + "/walls"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// planPath is the page of a plan or a ladder.
func planPath(p record.Plan) string {
	if p.Kind == record.TempoLadder {
		return "/ladder/" + p.ID
	}
	return "/plan/" + p.ID
}
