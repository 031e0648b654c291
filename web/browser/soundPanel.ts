/** The controls of the sound: a sentence about how to play and practise, a mixer, and what to take away. */
import { type Brief, limits, readBrief, sounding } from '../../lib/brief.ts'
import { heardParts } from '../../lib/sound/clicks.ts'
import { ChoiceControls, element, type Name, textField, wordsOf } from './choiceControls.ts'
import type { Fields } from './soundTalk.ts'

export interface PanelEvents {
  /** A choice of the brief is made; null for the usual one. */
  readonly onChoice: (name: Name, text: string | null) => void
  readonly onFrom: (bar: number | null) => void
  readonly onLevel: (part: Brief['hear'][number], level: number) => void
}

const partWords = Object.fromEntries(wordsOf('hear')) as Readonly<Record<Brief['hear'][number], string>>

export interface Panel {
  readonly root: HTMLElement
  readonly status: HTMLElement
  /** Shows what the fields of a brief say; the number of bars is that of the tune. */
  show(fields: Fields): void
  /** The tune's tempo, shown where none is chosen. */
  usualTempo(tempo: number): void
  /** Shows what playing has come to. */
  ready(bars: number, tempo: number, swing: number): void
  readonly hears: () => Brief['hear']
}

export function makePanel(events: PanelEvents): Panel {
  const controls = new ChoiceControls(events.onChoice)
  const tempo = makeTempo(events.onChoice)
  const mixer = makeMixer(events.onLevel, (parts) => controls.changed('hear', parts.join(',')))
  const status = element('p', { className: 'fine now' })
  status.setAttribute('role', 'status')
  const [loop, swing] = [controls.field('loop'), controls.field('swing')]
  let tuneTempo = 120
  const sentence = sayHow(controls, loop, swing, fromField(events.onFrom))
  const root = element('div', { id: 'practice', className: 'practice' }, tempo.row, mixer.row, sentence)
  return {
    root,
    status,
    hears: mixer.hears,
    usualTempo(said) {
      tuneTempo = said
    },
    show(fields) {
      const { brief } = readBrief(fields)
      controls.show(brief)
      mixer.show(brief)
      tempo.show(brief.tempo ?? tuneTempo)
    },
    ready(bars, now, usualSwing) {
      tempo.follow(now)
      loop.placeholder = `1-${bars}`
      swing.placeholder = usualSwing.toFixed(2)
    },
  }
}

function makeTempo(onChoice: PanelEvents['onChoice']) {
  const [min, max] = limits.tempo.map(String) as [string, string]
  const range = element('input', { type: 'range', min, max, step: '1', ariaLabel: 'Tempo' })
  const shown = element('output', { className: 'tempo' })
  const say = () => {
    shown.textContent = `♩ = ${range.value}`
    range.ariaValueText = `${range.value} beats a minute`
  }
  range.addEventListener('input', say)
  range.addEventListener('change', () => onChoice('tempo', range.value))
  const slower = element('button', { type: 'button', className: 'ink', textContent: 'Slower' })
  slower.dataset.do = 'slower'
  const show = (tempo: number): void => {
    range.value = String(tempo)
    say()
  }
  return {
    row: element('p', { className: 'tempos' }, element('span', {}, 'Tempo '), range, ' ', shown, ' ', slower),
    show,
    /** Shows the tempo that is played, unless another is being chosen. */
    follow: (tempo: number): void => (document.activeElement === range ? say() : show(Math.round(tempo))),
  }
}

/** A tick and a level for each part; one part is always heard. */
function makeMixer(onLevel: PanelEvents['onLevel'], onHear: (parts: Brief['hear']) => void) {
  const ticks = new Map<string, HTMLInputElement>()
  const hears = (): Brief['hear'] => sounding.filter((part) => ticks.get(part)?.checked)
  const row = element('div', { className: 'mixer', role: 'group', ariaLabel: 'Parts' })
  for (const part of sounding) {
    const box = element('input', { type: 'checkbox' })
    box.addEventListener('change', () => {
      if (hears().length === 0) box.checked = true
      else onHear(hears())
    })
    ticks.set(part, box)
    const level = element('input', { type: 'range', min: '0', max: '150', step: '5', value: '100' })
    level.ariaLabel = `Level of the ${partWords[part]}`
    level.addEventListener('input', () => onLevel(part, Number(level.value) / 100))
    row.append(element('div', {}, element('label', { className: 'tick' }, box, partWords[part]), level))
  }
  const show = (brief: Brief): void => {
    const heard: readonly string[] = heardParts(brief)
    for (const [part, box] of ticks) {
      box.checked = heard.includes(part)
      // Beside the click alone there is no band to turn up or down.
      box.closest('div')!.hidden = brief.feel === 'click' && part !== 'line' && part !== 'click'
    }
  }
  return { row, hears, show }
}

const fromField = (onFrom: PanelEvents['onFrom']): HTMLInputElement =>
  textField('Bar to begin at', 'the first', (text) => {
    const bar = Number(text)
    if (text !== '' && (!/^\d{1,4}$/.test(text) || bar < 1)) return 'Expected the number of a bar, such as 5.'
    onFrom(text === '' ? null : bar)
    return ''
  })

/** How to play and practise, as a sentence with its choices in it. */
function sayHow(controls: ChoiceControls, loop: HTMLElement, swing: HTMLElement, from: HTMLElement): HTMLElement {
  const row = (...children: (Node | string)[]) => element('p', { className: 'row' }, ...children)
  return element(
    'div',
    { className: 'sentence small' },
    row(
      'Play bars ',
      loop,
      ' beginning at ',
      from,
      ' ',
      controls.select('passes'),
      ', ',
      controls.select('feel'),
      ', the metronome ',
      controls.select('click'),
      ', in ',
      controls.select('looseness'),
      ' with ',
      controls.select('sound'),
      ' and a swing of ',
      swing,
      ', after ',
      controls.select('countIn'),
      ' of count-in.',
    ),
    row(
      'Each pass ',
      controls.select('faster'),
      ' up or down to ',
      controls.field('goal'),
      ', with ',
      controls.select('rest'),
      '; the key ',
      controls.select('keyAfter'),
      '. ',
      controls.tick('lineOut'),
      ' ',
      controls.tick('build'),
      ' ',
      controls.tick('demonstration'),
    ),
  )
}
