/** Odd input for the whole program: charts, near-charts, any Unicode, giant and nested text, and briefs that contradict themselves. */
import fc from 'fast-check'

const symbol = fc
  .tuple(
    fc.constantFrom(...'ABCDEFGHJ'),
    fc.constantFrom('', 'b', '#', 'bb', '##'),
    fc.constantFrom(
      '',
      'm7',
      '7',
      'maj7',
      'm7b5',
      '7(b9)',
      'dim',
      '7alt',
      'sus',
      '69',
      'ø',
      'Δ',
      'm/maj7',
      '13#11',
      '(',
      '/G',
      '/',
      'x',
    ),
  )
  .map((parts) => parts.join(''))
const chart = fc
  .array(
    fc.oneof(
      { weight: 8, arbitrary: symbol },
      fc.constantFrom(
        '|',
        '||',
        '|:',
        ':|',
        '%',
        '/',
        '[A]',
        '1.',
        '2.',
        'x3',
        'D.C. al Fine',
        '\n',
        '3/4',
        'N.C.',
        '%%',
        '// no',
        'Key: F\n',
      ),
    ),
    { maxLength: 120 },
  )
  .map((tokens) => tokens.join(' '))
const plain = fc
  .array(
    fc.tuple(
      fc.constantFrom('C', 'Db', 'F#', 'Bb', 'E'),
      fc.constantFrom('m7', '7', 'maj7', 'm7b5', '7(b9)', 'dim7', '6'),
    ),
    { minLength: 1, maxLength: 24 },
  )
  .map((chords) => `| ${chords.map((parts) => parts.join('')).join(' | ')} |`)
const giant = fc.tuple(symbol, fc.integer({ min: 500, max: 2_400 })).map(([one, times]) => `| ${one} `.repeat(times))
const nested = fc
  .integer({ min: 1, max: 3_000 })
  .map((n) => `| C${'('.repeat(n)}b9${')'.repeat(n)} |: :|: :| [`.repeat(3))
const changes = fc.oneof(
  { weight: 6, arbitrary: chart },
  { weight: 6, arbitrary: plain },
  { weight: 5, arbitrary: fc.string({ unit: 'binary', maxLength: 600 }) },
  { weight: 1, arbitrary: giant },
  { weight: 1, arbitrary: nested },
)
const odd = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.constantFrom('0', '-1', '1e9', 'none', '<b>', '../..', '99999999999', ''),
)
const fields = fc.record({
  title: odd,
  instrument: fc.constantFrom('trumpet', 'tuba', 'alto-voice', 'kazoo'),
  key: fc.constantFrom('C', 'Gb', 'F#m', 'H', ''),
  keys: fc.constantFrom('fourths', 'shuffled', 'C,F,Bb', 'C,C,C', 'none'),
  land: fc.constantFrom('3', '1,3,5,7,9,#11,13', '', '#11', '2'),
  every: fc.constantFrom('half', 'chord', 'strong', 'never'),
  on: fc.constantFrom('1', '3', '4&', '2'),
  approach: fc.constantFrom('scale', 'arpeggio', 'enclosure', ''),
  notes: fc.constantFrom('1', '4', '0'),
  rhythm: fc.constantFrom('phrased', 'triplets', 'eighths'),
  level: fc.constantFrom('1', '6', '7'),
  plan: fc.oneof(odd, fc.constantFrom('3 7 | 5', '1 1 1 1 1')),
  pins: fc.oneof(odd, fc.constantFrom('1.1=F4', '1=F4 E4 - D4', '2.1=+1 -1,2.1=C9', '1.3=1-2-3-5')),
  again: fc.oneof(odd, fc.constantFrom('1-2:3', '9-99:1', '2-1:1')),
  scales: fc.oneof(odd, fc.constantFrom('1.1=altered', '7.3=locrian')),
  low: fc.constantFrom('C4', 'C9', 'B#3', 'x'),
  high: fc.constantFrom('C5', 'C0', 'Fb6'),
  bars: fc.constantFrom('1-2', '2-1', '9-99999', '0'),
  choruses: fc.constantFrom('1', '64', '65'),
  seed: odd,
  z: odd,
})
/** Changes with a few choices, some of them possible; each a field of an address or an option of a command. */
const brief: fc.Arbitrary<Readonly<Record<string, string>>> = fc
  .tuple(
    changes,
    fields,
    fc.shuffledSubarray(
      [
        'title',
        'instrument',
        'key',
        'keys',
        'land',
        'every',
        'on',
        'approach',
        'notes',
        'rhythm',
        'level',
        'plan',
        'pins',
        'again',
        'scales',
        'low',
        'high',
        'bars',
        'choruses',
        'seed',
        'z',
      ] as const,
      { maxLength: 3 },
    ),
  )
  .map(([text, all, names]) => ({ changes: text, ...Object.fromEntries(names.map((name) => [name, all[name]])) }))

/** So many inputs, the same every time. */
export const oddInputs = (count: number, seed: number): readonly Readonly<Record<string, string>>[] =>
  fc.sample(brief, { numRuns: count, seed })

/** What a person must never see: where in the code something went wrong. */
export const isTrace = (text: string): boolean => /node_modules|\bat \S+ \(.*:\d+:\d+\)/.test(text)
