/** The page of figures: each is played by a click, in plain tones. */

/** Seconds of an eighth, and of the note that a figure lands on. */
const eighth = 0.25
const landing = 0.7

let context: AudioContext | null = null
let sounding: AudioScheduledSourceNode[] = []

/** Plays notes one after another, the last one held; what still sounds from before stops. */
function play(notes: readonly number[]): void {
  context ??= new AudioContext()
  void context.resume()
  for (const source of sounding) source.stop()
  const start = context.currentTime + 0.05
  sounding = notes.map((midi, i) => {
    const last = i === notes.length - 1
    const at = start + i * eighth
    const length = last ? landing : eighth
    const source = new OscillatorNode(context!, { type: 'triangle', frequency: 440 * 2 ** ((midi - 69) / 12) })
    const loud = new GainNode(context!, { gain: 0 })
    loud.gain.setValueAtTime(0, at)
    loud.gain.linearRampToValueAtTime(last ? 0.3 : 0.22, at + 0.012)
    loud.gain.setTargetAtTime(0, at + length - 0.05, 0.02)
    source.connect(loud).connect(context!.destination)
    source.start(at)
    source.stop(at + length + 0.1)
    return source
  })
}

document.addEventListener('click', ({ target }) => {
  const button = target instanceof Element ? target.closest<HTMLElement>('[data-play]') : null
  const notes = button?.dataset.play?.split(' ').map(Number)
  if (notes) play(notes)
})
