// Package web serves the pages of underkick on this computer: HTML made on the
// server, SVG drawn on the server, and native ES modules only where a page
// cannot work without them (marking frames).
//
// A handler reads its request, calls one use case of package poolside, fills
// the struct of its page and hands it to the templates, which render into a
// buffer before the first byte is sent. Writes are forms that end in a
// redirect, and the marking page's JSON actions.
//
// The server is meant for the loopback interface: it answers only to the names
// of this computer, refuses writes that another site's page sends, and allows
// its pages to load nothing from elsewhere (guard.go). With keys it asks every
// request for a session (door.go). With Options.LAN it is another server, of the
// few phone pages, for the local network (door_lan.go, door_phone.go).
package web
