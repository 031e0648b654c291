/** The encoder of Opus, libopus in WebAssembly: the build puts it into this file. Node-side. */
export { Application, createEncoder, Signal } from 'libopus-wasm'
