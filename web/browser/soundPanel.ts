/** The controls of the sound: a sentence about how to play and practise, a mixer, and what to take away. */
import { type Brief, choices, defaultBrief, limits, readBrief, sounding } from '../../lib/brief.ts'
import { heardParts } from '../../lib/sound/clicks.ts'
import type { Fields } from './soundTalk.ts'

type Name = keyof Brief

export interface PanelEvents {
  /** A choice of the brief is made; null for the usual one. */
  readonly onChoice: (name: Name, text: string | null) => void
  readonly onFrom: (bar: number | null) => void
  readonly onLevel: (part: Brief['hear'][number], level: number) => void
}

/** The values of a choice on offer in words. A value of a link that is not among them is added as it is. */
const wordsOf = (name: Name) => choices[name].page.words ?? []
const partWords = Object.fromEntries(wordsOf('hear')) as Readonly<Record<Brief['hear'][number], string>>

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
  /** The tune's tempo, shown where none is chosen. */
  usualTempo(tempo: number): void
  /** Shows what playing has come to. */
  ready(bars: number, tempo: number, swing: number): void
  readonly hears: () => Brief['hear']
}

export function makePanel(events: PanelEvents): Panel {
  const controls = new Map<string, HTMLInputElement | HTMLSelectElement>()
  const usual = (name: Name): string => writeChoice(name, defaultBrief)
  const changed = (name: Name, text: string): void => events.onChoice(name, text === usual(name) ? null : text)

  const select = (name: Name): HTMLElement => {
    const made = element('select', { ariaLabel: choices[name].page.label })
    made.dataset.choice = name
    for (const [value, text] of wordsOf(name)) made.append(new Option(text, value))
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
  const choiceField = (name: Name): HTMLInputElement =>
    field(name, choices[name].page.label, choices[name].page.hint ?? '', (text) => {
      if (text === '') {
        events.onChoice(name, null)
        return ''
      }
      const [problem] = readBrief({ [name]: text }).problems
      if (problem) return `Expected ${problem.expected}; ${problem.hint}.`
      changed(name, text)
      return ''
    })
  const tick = (name: Name): HTMLElement => {
    const box = element('input', { type: 'checkbox' })
    box.addEventListener('change', () => changed(name, box.checked ? 'yes' : 'no'))
    controls.set(name, box)
    return element('label', { className: 'tick' }, box, wordsOf(name)[0]?.[1] ?? choices[name].page.label)
  }

  const [slowest, quickest] = limits.tempo.map(String) as [string, string]
  const tempo = element('input', { type: 'range', min: slowest, max: quickest, step: '1', ariaLabel: 'Tempo' })
  let tuneTempo = 120
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
  const loopField = choiceField('loop')
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
        ', the metronome ',
        select('click'),
        ', in ',
        select('looseness'),
        ' with ',
        select('sound'),
        ' and a swing of ',
        choiceField('swing'),
        ', after ',
        select('countIn'),
        ' of count-in.',
      ),
      row(
        'Each pass ',
        select('faster'),
        ' up or down to ',
        choiceField('goal'),
        ', with ',
        select('rest'),
        '; the key ',
        select('keyAfter'),
        '. ',
        tick('lineOut'),
        ' ',
        tick('build'),
        ' ',
        tick('demonstration'),
      ),
    ),
  )
  return {
    root,
    status,
    hears,
    usualTempo(said) {
      tuneTempo = said
    },
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
      const heard: readonly string[] = heardParts(brief)
      for (const [part, box] of ticks) {
        box.checked = heard.includes(part)
        // Beside the click alone there is no band to turn up or down.
        box.closest('div')!.hidden = brief.feel === 'click' && part !== 'line' && part !== 'click'
      }
      tempo.value = String(brief.tempo ?? tuneTempo)
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
