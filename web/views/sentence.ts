/** The brief as a sentence: every choice a form control with its words, its plain explanation and what is wrong with it. */
import { type Brief, type BriefProblem, type ChoiceName, choiceNames, choices, writeBrief } from '../../lib/brief.ts'
import { type Choice, formGroups, type Group, type PageWords } from '../../lib/choices/choice.ts'
import { type InstrumentFamily, instrumentOf, instruments, partGroups } from '../../lib/theory/instrument.ts'
import { type Key, keyAt, nameOfKey } from '../../lib/theory/key.ts'
import { nameOf } from '../../lib/theory/pitch.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import type { Given } from '../server/address.ts'
import { type View, viewChoices, viewNames } from './display.ts'

export interface Option {
  readonly value: string
  readonly words: string
  readonly chosen: boolean
}

export interface Control {
  readonly name: string
  /** What a screen reader calls it; also its heading in the explanations. */
  readonly label: string
  readonly explanation: string
  readonly value: string
  readonly options: readonly Option[]
  readonly groups: readonly { readonly label: string; readonly options: readonly Option[] }[]
  /** What an empty field shows. */
  readonly hint: string
  /** Whether its field has room for several words. */
  readonly long: boolean
  readonly problem: { readonly message: string; readonly hint: string } | null
}

/** The list of keys of one's own has a field beside the choice of keys, and is the same choice. */
const keyList: PageWords = {
  group: 'sentence',
  label: 'My own keys',
  explanation: 'Keys as they sound, in your own order, up to twelve, with commas between: C, F, Bb.',
  hint: 'such as C, F, B♭',
}

/** The choices that are fields of the form, by name; the rest is carried along in it. */
export const formChoices: readonly ChoiceName[] = choiceNames.filter((name) => inForm(choices[name].page))

function inForm({ group }: PageWords): boolean {
  return formGroups.includes(group)
}

/** What each control is called and means, in the order of the groups of the page. */
export const meanings: readonly PageWords[] = formGroups.flatMap((group) =>
  [
    ...choiceNames.flatMap((name) => [choices[name].page, ...(name === 'keys' ? [keyList] : [])]),
    ...viewNames.map((name) => viewChoices[name].page),
  ].filter((page) => page.group === group),
)

/** Which groups hold a choice that is wrong, and so must be open. */
export const openGroups = (problems: readonly BriefProblem[]): Readonly<Record<Group, boolean>> => {
  const wrong = problems.map(({ choice }) => choices[choice].page.group)
  return Object.fromEntries(formGroups.map((group) => [group, wrong.includes(group)])) as Record<Group, boolean>
}

/** Where the page shows what is not in the form, by group: the id of what stands for it. */
const places: Readonly<Partial<Record<Group, string>>> = { changes: 'changes', playing: 'sound', staff: 'pins' }

/** A problem with a choice as the page says it, with the id of the field or of what stands for it. */
export const sayChoiceProblem = ({ choice, found, expected, hint }: BriefProblem) => {
  const { page } = choices[choice]
  const at = inForm(page) ? choice : (places[page.group] ?? 'say')
  return { choice, at, label: page.label, found, expected, hint }
}

export const familyNames: Readonly<Record<InstrumentFamily, string>> = {
  saxophones: 'Saxophones',
  woodwind: 'Woodwind',
  brass: 'Brass',
  strings: 'Strings',
  'rhythm section': 'Rhythm section',
  voices: 'Voices',
}

/** What the controls of a page hang on. */
interface Shown {
  readonly brief: Brief
  readonly given: Given
  readonly problems: readonly BriefProblem[]
  /** The key of the tune, where it is known: keys on offer are then of its mode. */
  readonly heard: Key | null
}

const optionsOf = ({ options = [], page }: Pick<Choice<unknown>, 'options' | 'page'>, chosen: readonly string[]) =>
  (page.words ?? options.map((value) => [value, value] as const)).map(([value, words]) => ({
    value,
    words,
    chosen: chosen.includes(value),
  }))

/** The control of a choice by its record alone. */
function plainControl<K extends ChoiceName>(
  name: K,
  { brief, given, problems }: Shown,
  said: Readonly<Record<string, string>>,
): Control {
  const record = choices[name]
  const text = record.text(brief[name])
  const wrong = problems.find(({ choice }) => choice === name)
  // A field for a number always shows one; what a level sets, or what is as usual, leaves a field for text empty.
  const shown = record.page.words || typeof record.usual === 'number' ? text : (said[name] ?? '')
  return {
    name,
    label: record.page.label,
    explanation: record.page.explanation,
    value: (wrong ? given[name] : shown) ?? '',
    options: optionsOf(record, record.list ? text.split(',') : [text]),
    groups: [],
    hint: record.page.hint ?? '',
    long: (record.page.hint ?? '').length > 5,
    problem: wrong ? { message: `Found ${wrong.found}; expected ${wrong.expected}.`, hint: wrong.hint } : null,
  }
}

/** What a control shows besides what its record says: values on offer that hang on the tune or the instrument. */
const special: Readonly<Partial<Record<ChoiceName, (shown: Shown) => Partial<Control>>>> = {
  instrument: ({ brief }) => ({
    options: [],
    groups: Object.entries(familyNames).map(([family, label]) => ({
      label,
      options: instruments
        .filter((each) => each.family === family)
        .map(({ id, name }) => ({
          value: id,
          words: name.charAt(0).toLowerCase() + name.slice(1),
          chosen: id === brief.instrument,
        })),
    })),
  }),
  key: ({ brief, heard }) => {
    const named = (key: Key) => withSigns(nameOfKey(key)).replace('m', ' minor')
    const mode = (brief.key ?? heard)?.mode ?? 'major'
    const keys = Array.from({ length: 12 }, (_, chroma) => keyAt(chroma, mode))
    const own = brief.key && !keys.some((key) => nameOfKey(key) === nameOfKey(brief.key!)) ? [brief.key] : []
    const itself = heard && !brief.key ? `${named(heard)}, its own key` : 'its own key'
    return {
      options: [
        { value: '', words: itself, chosen: brief.key === null },
        ...[...own, ...keys].map((key) => ({
          value: nameOfKey(key),
          words: named(key),
          chosen: brief.key !== null && nameOfKey(key) === nameOfKey(brief.key),
        })),
      ],
    }
  },
  keys: ({ brief, problems }) => {
    const listed = Array.isArray(brief.keys) || problems.some(({ choice }) => choice === 'keys')
    const value = listed ? 'list' : choices.keys.text(brief.keys)
    return { options: optionsOf(choices.keys, [value]), value }
  },
  low: ({ brief }) => ({ hint: easyRange(brief)[0] }),
  high: ({ brief }) => ({ hint: easyRange(brief)[1] }),
  parts: ({ brief }) => ({
    options: [...new Set([...partGroups, ...brief.parts])].map((value) => ({
      value,
      words: instrumentOf(value)?.name ?? withSigns(value),
      chosen: brief.parts.includes(value),
    })),
  }),
}

function easyRange({ instrument }: Brief): readonly [string, string] {
  const reading = instrumentOf(instrument)
  return reading ? [nameOf(reading.comfortable[0]), nameOf(reading.comfortable[1])] : ['', '']
}

function keyListControl(shown: Shown): Control {
  const { brief, given, problems } = shown
  const wrong = problems.some(({ choice }) => choice === 'keys')
  const listed = Array.isArray(brief.keys) ? choices.keys.text(brief.keys).replaceAll(',', ', ') : ''
  return {
    ...plainControl('keys', shown, {}),
    name: 'keyList',
    label: keyList.label,
    explanation: keyList.explanation,
    value: wrong ? (given.keys ?? '') : listed,
    options: [],
    hint: keyList.hint ?? '',
    long: true,
  }
}

/** Every control of the form, by name: choices of the brief, the list of keys, and how the page is shown. */
export function controlsOf(shown: Shown, view: View): Readonly<Record<string, Control>> {
  const said = writeBrief(shown.brief)
  const ofBrief = formChoices.map((name) => ({ ...plainControl(name, shown, said), ...special[name]?.(shown) }))
  const ofView = viewNames.map((name): Control => {
    const { page } = viewChoices[name]
    const options = optionsOf(viewChoices[name], [view[name]])
    return {
      name,
      label: page.label,
      explanation: page.explanation,
      value: view[name],
      options,
      groups: [],
      hint: '',
      long: false,
      problem: null,
    }
  })
  return Object.fromEntries([...ofBrief, keyListControl(shown), ...ofView].map((control) => [control.name, control]))
}

/** What is asked for on one line, as the folded sentence shows it: targets, approach, reader and keys. */
export function inOneLine(controls: Readonly<Record<string, Control>>): string {
  const chosen = (name: string): string => {
    const { options, groups } = controls[name]!
    const all = [...options, ...groups.flatMap((group) => group.options)]
    return all
      .filter((option) => option.chosen)
      .map(({ words }) => words)
      .join(' ')
  }
  const keys = controls.keys!.value === '' ? '' : `, ${chosen('keys')}`
  const parts = [
    chosen('instrument'),
    chosen('key') + keys,
    `${chosen('land')} ${chosen('every')}`,
    `up to ${chosen('notes')} before`,
  ]
  return parts.join(' · ')
}
