/** The controls of the sound: a sentence about how to play and practise, a mixer, and what to take away. */
import { type Brief, choices, defaultBrief, readBrief, sounding } from '../../lib/brief.ts'
import type { Fields } from './soundTalk.ts'

type Name = keyof Brief

export interface PanelEvents {
  /** A choice of the brief is made; null for the usual one. */
  readonly onChoice: (name: Name, text: string | null) => void
  readonly onFrom: (bar: number | null) => void
  readonly onLevel: (part: Brief['hear'][number], level: number) => void
}

const partWords: Readonly<Record<Brief['hear'][number], string>> = {
  line: 'line',
  bass: 'bass',
  chords: 'chords',
  drums: 'drums',
  click: 'metronome',
}

/** What each choice is called, and its values in words. A value of a link that is not here is added as it is. */
const selects: Readonly<Partial<Record<Name, readonly [string, Readonly<Record<string, string>>]>>> = {
  feel: [
    'Feel',
    {
      '': 'as the tune asks',
      swing: 'swung',
      ballad: 'as a ballad',
      waltz: 'as a waltz',
      even: 'in even eighths',
      click: 'to a plain click',
    },
  ],
  sound: ['Sound', { plain: 'plain sound', sampled: 'recorded notes' }],
  countIn: ['Count-in', { '0': 'nothing', '1': 'one bar', '2': 'two bars' }],
  passes: [
    'How many times',
    {
      '': 'once',
      '2': 'twice',
      '3': '3 times',
      '4': '4 times',
      '6': '6 times',
      '8': '8 times',
      '12': '12 times',
      '0': 'until I stop',
    },
  ],
  faster: [
    'Tempo after each pass',
    {
      '': 'at the same tempo',
      '2%': '2 % faster',
      '5%': '5 % faster',
      '10%': '10 % faster',
      '4': '4 beats faster',
      '8': '8 beats faster',
      '-5%': '5 % slower',
      '-10%': '10 % slower',
      '-4': '4 beats slower',
    },
  ],
  keyAfter: [
    'The next key',
    { '0': 'stays', '1': 'changes after each', '2': 'changes after 2', '3': 'changes after 3', '4': 'changes after 4' },
  ],
  rest: [
    'Rest between passes',
    { '0': 'no rest', '1': 'one bar of rest', '2': '2 bars of rest', '4': '4 bars of rest' },
  ],
}

const element = <K extends keyof HTMLElementTagNameMap>(
  name: K,
  props: Partial<HTMLElementTagNameMap[K]> = {},
  ...children: (Node | string)[]
): HTMLElementTagNameMap[K] => {
  const made = document.createElement(name)
  Object.assign(made, props)
  made.append(...children)
  return made
}

export interface Panel {
  readonly root: HTMLElement
  readonly status: HTMLElement
  /** Shows what the fields of a brief say; the number of bars is that of the tune. */
  show(fields: Fields): void
  /** Shows what playing has come to. */
  ready(bars: number, tempo: number, swing: number): void
  readonly hears: () => Brief['hear']
}

export function makePanel(events: PanelEvents): Panel {
  const controls = new Map<string, HTMLInputElement | HTMLSelectElement>()
  const usual = (name: Name): string => writeChoice(name, defaultBrief)
  const changed = (name: Name, text: string): void => events.onChoice(name, text === usual(name) ? null : text)

  const select = (name: Name): HTMLElement => {
    const [label, words] = selects[name]!
    const made = element('select', { ariaLabel: label })
    made.dataset.choice = name
    for (const [value, text] of Object.entries(words)) made.append(new Option(text, value))
    made.addEventListener('change', () => changed(name, made.value))
    controls.set(name, made)
    return made
  }
  /** A field for a number or bars; what cannot be read is said in the field itself and changes nothing. */
  const field = (
    name: Name | 'from',
    label: string,
    hint: string,
    onText: (text: string) => string,
  ): HTMLInputElement => {
    const made = element('input', { type: 'text', className: 'field', ariaLabel: label, placeholder: hint })
    made.inputMode = name === 'loop' ? 'text' : 'decimal'
    made.addEventListener('change', () => {
      made.setCustomValidity(onText(made.value.trim()))
      made.ariaInvalid = String(!made.validity.valid)
      made.reportValidity()
    })
    controls.set(name, made)
    return made
  }
  const choiceField = (name: Name, label: string, hint: string): HTMLInputElement =>
    field(name, label, hint, (text) => {
      if (text === '') {
        events.onChoice(name, null)
        return ''
      }
      const [problem] = readBrief({ [name]: text }).problems
      if (problem) return `Expected ${problem.expected}; ${problem.hint}.`
      changed(name, text)
      return ''
    })
  const tick = (name: Name, words: string): HTMLElement => {
    const box = element('input', { type: 'checkbox' })
    box.addEventListener('change', () => changed(name, box.checked ? 'yes' : 'no'))
    controls.set(name, box)
    return element('label', { className: 'tick' }, box, words)
  }

  const tempo = element('input', { type: 'range', min: '40', max: '320', step: '1', ariaLabel: 'Tempo' })
  const tempoShown = element('output', { className: 'tempo' })
  const sayTempo = () => {
    tempoShown.textContent = `♩ = ${tempo.value}`
    tempo.ariaValueText = `${tempo.value} beats a minute`
  }
  tempo.addEventListener('input', sayTempo)
  tempo.addEventListener('change', () => events.onChoice('tempo', tempo.value))

  const slower = element('button', { type: 'button', className: 'ink', textContent: 'Slower' })
  slower.dataset.do = 'slower'

  const ticks = new Map<string, HTMLInputElement>()
  const hears = (): Brief['hear'] => sounding.filter((part) => ticks.get(part)?.checked)
  const mixer = element('div', { className: 'mixer', role: 'group', ariaLabel: 'Parts' })
  for (const part of sounding) {
    const box = element('input', { type: 'checkbox' })
    box.addEventListener('change', () => {
      if (hears().length === 0) box.checked = true
      else changed('hear', hears().join(','))
    })
    ticks.set(part, box)
    const level = element('input', { type: 'range', min: '0', max: '150', step: '5', value: '100' })
    level.ariaLabel = `Level of the ${partWords[part]}`
    level.addEventListener('input', () => events.onLevel(part, Number(level.value) / 100))
    mixer.append(element('div', {}, element('label', { className: 'tick' }, box, partWords[part]), level))
  }

  const row = (...children: (Node | string)[]) => element('p', { className: 'row' }, ...children)
  const status = element('p', { className: 'fine now' })
  status.setAttribute('role', 'status')
  const loopField = choiceField('loop', 'Bars to play', 'all')
  const fromField = field('from', 'Bar to begin at', 'the first', (text) => {
    const bar = Number(text)
    if (text !== '' && (!/^\d{1,4}$/.test(text) || bar < 1)) return 'Expected the number of a bar, such as 5.'
    events.onFrom(text === '' ? null : bar)
    return ''
  })
  const root = element(
    'div',
    { id: 'practice', className: 'practice' },
    element('p', { className: 'tempos' }, element('span', {}, 'Tempo '), tempo, ' ', tempoShown, ' ', slower),
    mixer,
    element(
      'div',
      { className: 'sentence small' },
      row(
        'Play bars ',
        loopField,
        ' beginning at ',
        fromField,
        ' ',
        select('passes'),
        ', ',
        select('feel'),
        ' with ',
        select('sound'),
        ' and a swing of ',
        choiceField('swing', 'Swing, long eighth to short', 'as usual'),
        ', after ',
        select('countIn'),
        ' of count-in.',
      ),
      row(
        'Each pass ',
        select('faster'),
        ' up or down to ',
        choiceField('goal', 'Tempo to stop at', 'any'),
        ', with ',
        select('rest'),
        '; the key ',
        select('keyAfter'),
        '. ',
        tick('lineOut', 'Leave the line to me every second time'),
        ' ',
        tick('build', 'One bar at a time, then two, then four, then all'),
      ),
    ),
  )
  return {
    root,
    status,
    hears,
    show(fields) {
      const { brief } = readBrief(fields)
      for (const [name, control] of controls) {
        if (name === 'from' || control === document.activeElement) continue
        const text = writeChoice(name as Name, brief)
        if (control instanceof HTMLSelectElement) {
          if (![...control.options].some((option) => option.value === text)) control.append(new Option(text, text))
          control.value = text
        } else if (control.type === 'checkbox') control.checked = text === 'yes'
        else control.value = text
      }
      for (const [part, box] of ticks) box.checked = (brief.hear as readonly string[]).includes(part)
      if (brief.tempo !== null) tempo.value = String(brief.tempo)
      sayTempo()
    },
    ready(bars, now, swing) {
      if (document.activeElement !== tempo) tempo.value = String(Math.round(now))
      sayTempo()
      loopField.placeholder = `1-${bars}`
      const swingField = controls.get('swing') as HTMLInputElement
      swingField.placeholder = swing.toFixed(2)
    },
  }
}

const writeChoice = <K extends Name>(name: K, brief: Brief): string => choices[name].text(brief[name])
