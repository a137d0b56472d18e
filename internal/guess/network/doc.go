// Package network carries a pose network and the kernels that compute it, and
// runs them inside this process without cgo.
//
// The network is a TensorFlow Lite file, the kernels are one WebAssembly
// module, both as their makers published them (see SOURCES.md for versions,
// sums and licences). They lie in the program compressed and cost nothing
// until Open is called. Open reads the network's graph, leaves out what the
// points do not need, and has the kernels compiled by wazero, which keeps its
// machine code in the cache folder. A Worker holds the weights in memory of
// its own and turns one picture into points, in a few tenths of a second.
//
// The package knows nothing of swimming: which point is which and how a
// picture must be cut is its caller's business.
package network
