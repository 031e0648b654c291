/** Choices of what is played and by whom: the changes, the instrument, the keys. */
import { instruments } from '../theory/instrument.ts'
import { type Key, type KeyOrder, keyOrders, nameOfKey, readKey } from '../theory/key.ts'
import { choice } from './choice.ts'
import { limits } from './limits.ts'
import { key, nearest, oneOf, orNone, type Reader, refuse, split, text, value } from './reader.ts'

const orders = Object.keys(keyOrders)

/** An order of all twelve keys from the tune's own, a seeded shuffle, or a list. */
const keys: Reader<KeyOrder | 'shuffled' | readonly Key[]> = {
  read: (t) => {
    if (t === 'shuffled') return value(t)
    if (Object.hasOwn(keyOrders, t)) return value(t as KeyOrder)
    const list = split(t).map((name) => readKey(name))
    if (list.length > limits.keys) return refuse(`at most ${limits.keys} keys`, 'take some out')
    return list.length > 0 && list.every((k) => k !== null)
      ? value(list)
      : refuse(`${orders.join(', ')}, shuffled, or keys such as C,F,Bb`, `try ${nearest(t, orders)}`)
  },
  text: (v) => (typeof v === 'string' ? v : v.map(nameOfKey).join(',')),
  holds: (v) =>
    Array.isArray(v)
      ? v.length > 0 && v.length <= limits.keys && v.every(key.holds)
      : v === 'shuffled' || (typeof v === 'string' && Object.hasOwn(keyOrders, v)),
  form: `${orders.join('|')}|shuffled|C,F,Bb`,
  expected: `${orders.join(', ')}, shuffled, or keys such as C,F,Bb`,
  hint: 'try fourths',
  list: true,
}

export const tuneChoices = {
  /** The changes as typed. */
  changes: choice(text(limits.changes), {
    usual: '',
    help: 'the changes as typed',
    page: { group: 'changes', label: 'The changes', explanation: 'Chords between bars, as you would scribble them.' },
  }),
  /** Overrides the chart's title. */
  title: choice(orNone(text(limits.title)), {
    usual: null,
    belongs: 'changes',
    help: 'the title above the music, in place of the one in the changes',
    page: {
      group: 'further',
      label: 'Title',
      explanation: 'Goes above the music in place of the title in the changes.',
      hint: 'as in the changes',
    },
  }),
  instrument: choice(oneOf(...instruments.map((i) => i.id)), {
    remembered: true,
    usual: 'alto-sax',
    belongs: 'reader',
    form: 'ID',
    help: `who reads it: ${instruments.map(({ id }) => id).join(', ')}`,
    page: {
      group: 'sentence',
      label: 'Instrument',
      explanation: 'Sets the clef, the transposition and a range that asks for no strain.',
    },
  }),
  /** Parts as the player reads them, or all at concert pitch. */
  pitch: choice(oneOf('written', 'concert'), {
    remembered: true,
    usual: 'written',
    belongs: 'reader',
    help: 'the part as the player reads it, or everything at concert pitch',
    page: {
      group: 'reading',
      label: 'Pitch',
      explanation: 'The part as you read it, or everything at concert pitch.',
      words: [
        ['written', 'as I read it'],
        ['concert', 'at concert pitch'],
      ],
    },
  }),
  /** Put the tune in this key. */
  key: choice(orNone(key), {
    usual: null,
    belongs: 'changes',
    help: 'put the tune in this key, as it sounds',
    page: { group: 'sentence', label: 'Key', explanation: 'Puts the whole tune in another key, as it sounds.' },
  }),
  /** Several keys: an order of all twelve from the tune's own, a seeded shuffle, or a list. Null: the tune's own key alone. */
  keys: choice(orNone(keys), {
    usual: null,
    help: 'several keys: all twelve in an order from the tune’s own, or a list',
    page: {
      group: 'sentence',
      label: 'Further keys',
      explanation: 'Takes the line through other keys as well, in the order that you practise them.',
      words: [
        ['', 'in that key only'],
        ['fourths', 'then in all twelve by fourths'],
        ['fifths', 'then in all twelve by fifths'],
        ['chromatic', 'then in all twelve, going up'],
        ['chromatic-down', 'then in all twelve, going down'],
        ['whole-tones', 'then in all twelve by whole tones'],
        ['minor-thirds', 'then in all twelve by minor thirds'],
        ['major-thirds', 'then in all twelve by major thirds'],
        ['tritones', 'then in all twelve by tritones'],
        ['shuffled', 'then in all twelve, shuffled'],
        ['list', 'in keys of my own:'],
      ],
    },
    printed: [
      ['chromatic', 'all twelve keys upward by semitones'],
      ['chromatic-down', 'all twelve keys downward by semitones'],
      ['fourths', 'all twelve keys by fourths'],
      ['fifths', 'all twelve keys by fifths'],
      ['whole-tones', 'all twelve keys by whole tones'],
      ['minor-thirds', 'all twelve keys by minor thirds'],
      ['major-thirds', 'all twelve keys by major thirds'],
      ['tritones', 'all twelve keys by tritones'],
      ['shuffled', 'all twelve keys shuffled'],
    ],
  }),
  /** The same line carried to each key, or a fresh one drawn in each. */
  each: choice(oneOf('same', 'fresh'), {
    usual: 'same',
    help: 'carry the same line to each key, or draw a fresh one in each',
    page: {
      group: 'further',
      label: 'In further keys',
      explanation: 'Carries the same line to each key, or draws a fresh one in each.',
      words: [
        ['same', 'the same line carried along'],
        ['fresh', 'a fresh line drawn'],
      ],
    },
    printed: [
      ['same', 'the same line in each'],
      ['fresh', 'a fresh line in each'],
    ],
  }),
} as const
