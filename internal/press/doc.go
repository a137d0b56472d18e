// Package press makes PDF files of pages with a browser of the Chromium family that is installed
// on the system. The browser lays the page out itself, so what is printed from the command line
// is what the same page gives when it is printed from a browser.
package press
