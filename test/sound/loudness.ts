/** Loudness by EBU R 128 (ITU-R BS.1770), as an independent meter measures it: libebur128's measure in Rust, compiled to WebAssembly. */
import { readFileSync } from 'node:fs'

/** What is used of WebAssembly, which the types of neither Node nor this project's library name. */
interface Wasm {
  instantiate(bytes: Uint8Array, imports: object): Promise<{ readonly instance: { readonly exports: unknown } }>
}
const wasm = (globalThis as unknown as { readonly WebAssembly: Wasm }).WebAssembly

interface Meter {
  readonly memory: { readonly buffer: ArrayBuffer }
  readonly __wbindgen_malloc: (bytes: number) => number
  readonly ebur128_integrated_stereo: (rate: number, l: number, ll: number, r: number, rl: number) => number
}

const file = 'node_modules/ebur128-wasm/ebur128_wasm_bg.wasm'
// What it asks for is called where it fails alone.
const fail = (): never => {
  throw new Error('the loudness meter failed')
}
const names = ['__wbg_new_693216e109162396', '__wbg_stack_0ddaca5d1abfb52f', '__wbg_error_09919627ac0992f5']
const { instance } = await wasm.instantiate(readFileSync(file), {
  './ebur128_wasm_bg.js': Object.fromEntries([...names, '__wbindgen_object_drop_ref'].map((name) => [name, fail])),
})
const meter = instance.exports as Meter

/** Integrated loudness in LUFS of a left and a right side. */
export function loudnessOf(left: Float32Array, right: Float32Array, rate: number): number {
  // The meter lets go of what it is given.
  const [l, r] = [left, right].map((side) => {
    const at = meter.__wbindgen_malloc(side.length * 4)
    new Float32Array(meter.memory.buffer).set(side, at / 4)
    return at
  }) as [number, number]
  return meter.ebur128_integrated_stereo(rate, l, left.length, r, right.length)
}
