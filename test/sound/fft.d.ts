/** What is used here of fft.js, which has no types of its own. */
declare module 'fft.js' {
  export default class FFT {
    constructor(size: number)
    createComplexArray(): number[]
    realTransform(output: number[], input: number[]): void
  }
}
