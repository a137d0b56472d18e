package web

// pageLink is one entry of the navigation.
type pageLink struct {
	Section string // of the pages it stands for, as given to shell
	Path    string
	Words   string
	Here    bool // the page shown belongs to it
}

// Navigation is what the head of a page leads to: in one row the pages of a
// coach's week, in its order, and the others folded away under one word.
type Navigation struct {
	Main, More []pageLink
	MoreHere   string // words of the entry in More that the page shown belongs to; "" when it belongs to none
}

var (
	mainPages = []pageLink{
		{Section: "squad", Path: "/", Words: "Squad"},
		{Section: "bring-in", Path: "/bring-in", Words: "Bring in a clip"},
		{Section: "compare", Path: "/compare", Words: "Compare"},
		{Section: "practice", Path: "/practice", Words: "Practice"},
		{Section: "walls", Path: "/walls", Words: "Walls"},
		{Section: "lessons", Path: "/lessons", Words: "Lessons"},
	}
	morePages = []pageLink{
		{Section: "filming", Path: "/filming-card", Words: "Filming card"},
		{Section: "measures", Path: "/measures", Words: "Measures"},
		{Section: "keep", Path: "/keep", Words: "Keep"},
		{Section: "privacy", Path: "/privacy", Words: "Privacy"},
		{Section: "about", Path: "/about", Words: "About"},
	}
	phonePages = []pageLink{
		{Section: "squad", Path: "/", Words: "Swimmers"},
		{Section: "bring-in", Path: "/bring-in", Words: "Bring in a clip"},
	}
)

// Navigation marks the entry of the page's own section.
func (s shell) Navigation() Navigation {
	if s.Phone {
		return Navigation{Main: s.marked(phonePages)}
	}
	n := Navigation{Main: s.marked(mainPages), More: s.marked(morePages)}
	for _, l := range n.More {
		if l.Here {
			n.MoreHere = l.Words
		}
	}
	return n
}

func (s shell) marked(links []pageLink) []pageLink {
	out := make([]pageLink, len(links))
	for i, l := range links {
		l.Here = l.Section == s.Section
		out[i] = l
	}
	return out
}
