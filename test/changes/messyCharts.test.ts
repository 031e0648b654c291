/** Charts as people type, paste and quote them: what their bars, beats and way through should be, by the conventions of the trade. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { barsText, signsText } from './chartText.ts'

interface Messy {
  readonly name: string
  readonly text: string
  readonly bars: string
  /** Bar indexes as played; every bar once where it is left out. */
  readonly order?: string
  readonly signs?: string
  readonly known?: false
}

const four = (...symbols: string[]) => symbols.map((symbol) => `${symbol}:4`).join(' | ')

const messy: readonly Messy[] = [
  // Bar lines and line breaks.
  { name: 'a line break is a bar line', text: 'Dm7 | G7\nC | C', bars: four('Dm7', 'G7', 'C', 'C') },
  { name: 'a closing bar line and a break are one', text: 'Dm7 | G7 |\nC | A7 |', bars: four('Dm7', 'G7', 'C', 'A7') },
  { name: 'bar lines at both ends', text: '| Dm7 | G7 |\n| C | A7 |\n', bars: four('Dm7', 'G7', 'C', 'A7') },
  { name: 'carriage returns', text: '| Dm7 | G7 |\r\n| C | A7 |\r\n', bars: four('Dm7', 'G7', 'C', 'A7') },
  { name: 'bar lines of other alphabets', text: '│ D−7 ¦ G7♭9 ‖ C△7 ｜', bars: four('Dm7', 'G7(b9)', 'Cmaj7') },
  { name: 'double bars', text: '|| C | F || G | C ||', bars: four('C', 'F', 'G', 'C') },
  { name: 'a final bar', text: '| C | F |.', bars: four('C', 'F') },
  { name: 'a final bar with a bracket', text: '| C | F |]', bars: four('C', 'F') },
  { name: 'an empty bar holds the chord', text: '| C | | F |', bars: four('C', 'C', 'F') },
  {
    name: 'a line without bar lines in a chart with them is one bar',
    text: '| C | F |\nG7 C7\n| F | C |',
    bars: 'C:4 | F:4 | G7:2 C7:2 | F:4 | C:4',
  },
  { name: 'spaces of every width', text: '|\u00a0Dm7\u2003|\u3000G7\u200b\u202f|', bars: four('Dm7', 'G7') },

  // Beats.
  { name: 'two chords share an even bar', text: '| Dm7 G7 | C |', bars: 'Dm7:2 G7:2 | C:4' },
  { name: 'four chords take a beat each', text: '| C A7 Dm7 G7 |', bars: 'C:1 A7:1 Dm7:1 G7:1' },
  { name: 'slashes are beats', text: '| C / / G7 | F / C / |', bars: 'C:3 G7:1 | F:2 C:2' },
  { name: 'dots are beats', text: '| C . . G7 | F . C . |', bars: 'C:3 G7:1 | F:2 C:2' },
  {
    name: 'slashes that come first hold the chord before',
    text: '| C | / / F / | / / / / |',
    bars: 'C:4 | C:2 F:2 | F:4',
  },
  { name: 'dashes that fill the bar are beats', text: '| C - - - | F - G - |', bars: 'C:4 | F:2 G:2' },
  { name: 'a lone dash only parts', text: '| Dm7 - G7 | C |', bars: 'Dm7:2 G7:2 | C:4' },
  { name: 'strokes joined to the symbol', text: '| C/// | F// G// |', bars: 'C:4 | F:2 G:2' },
  { name: 'chords tied within a beat', text: '| C~G / / / | F /~C / / |', bars: 'C:0.5 G:3.5 | F:1.5 C:2.5' },
  { name: 'three in a waltz', text: 'Time: 3/4\n| C F G | Am | Dm / G7 |', bars: 'C:1 F:1 G:1 | Am:3 | Dm:2 G7:1' },
  {
    name: 'six eighths',
    text: 'Time: 6/8\n| C F | G | Am / / Dm / / | C / |',
    bars: 'C:3 F:3 | G:6 | Am:3 Dm:3 | C:6',
  },
  { name: 'five', text: 'Time: 5/4\n| Em7 / / A7 / | D |', bars: 'Em7:3 A7:2 | D:5' },
  { name: 'what does not split evenly splits by beat groups', text: '| C F G |', bars: 'C:2 F:1 G:1' },
  { name: 'a new bass under the same chord', text: '| C /B Am /G | F |', bars: 'C:1 C/B:1 Am:1 Am/G:1 | F:4' },
  { name: 'no chord', text: '| N.C. | C | N.C. / F / |', bars: 'N.C.:4 | C:4 | N.C.:2 F:2' },

  // Repeated bars.
  { name: 'a repeat-bar sign', text: '| Dm7 G7 | % | C | ./. |', bars: 'Dm7:2 G7:2 | Dm7:2 G7:2 | C:4 | C:4' },
  { name: 'a repeat-bar sign of the musical block', text: '| Dm7 G7 | 𝄎 |', bars: 'Dm7:2 G7:2 | Dm7:2 G7:2' },
  {
    name: 'a two-bar repeat fills its bar and the next',
    text: '| C | F | %% | | G |',
    bars: four('C', 'F', 'C', 'F', 'G'),
  },
  { name: 'a two-bar repeat in one cell', text: '| C | F | %% | G |', bars: four('C', 'F', 'C', 'F', 'G') },
  { name: 'simile in a word', text: '| C | sim. | F |', bars: four('C', 'C', 'F') },
  { name: 'a sign within a bar', text: '| C | % F |', bars: 'C:4 | C:2 F:2' },

  // Repeats and endings.
  { name: 'a repeat', text: '|: C | F :| G |', bars: four('C', 'F', 'G'), order: '0 1 0 1 2', signs: '4/4 |: / :| / ' },
  {
    name: 'a repeat without its opening',
    text: '| C | F :| G | Am :|',
    bars: four('C', 'F', 'G', 'Am'),
    order: '0 1 0 1 2 3 2 3',
  },
  {
    name: 'one repeat closing as the next opens',
    text: '|: C | F :|: G | Am :|',
    bars: four('C', 'F', 'G', 'Am'),
    order: '0 1 0 1 2 3 2 3',
  },
  { name: 'repeat signs of the musical block', text: '𝄆 C | F 𝄇 G |', bars: four('C', 'F', 'G'), order: '0 1 0 1 2' },
  { name: 'double lines with colons', text: '||: C | F :|| G ||', bars: four('C', 'F', 'G'), order: '0 1 0 1 2' },
  {
    name: 'a bar line before the closing repeat',
    text: '|: C | F | :| G |',
    bars: four('C', 'F', 'G'),
    order: '0 1 0 1 2',
  },
  {
    name: 'two endings',
    text: '|: Dm7 | G7 |1. Em7 | A7 :|2. C | C |',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C'),
    order: '0 1 2 3 0 1 4 5',
    signs: '4/4 |: /  / 1. / 1. :| / 2. / 2.',
  },
  {
    name: 'endings with spaces',
    text: '|: Dm7 | G7 | 1. Em7 | A7 :| 2. C | C ||',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C'),
    order: '0 1 2 3 0 1 4 5',
  },
  {
    name: 'endings in brackets',
    text: '|: Dm7 | G7 |[1. Em7 | A7 :|[2. C | % |]',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C'),
    order: '0 1 2 3 0 1 4 5',
  },
  {
    name: 'endings by bare numbers',
    text: '|: Dm7 | G7 |1 Em7 | A7 :|2 C | % |',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C'),
    order: '0 1 2 3 0 1 4 5',
  },
  {
    name: 'endings in words',
    text: '|: Dm7 | G7 |\n1st ending: Em7 | A7 :|\n2nd ending: C | C |',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C'),
    order: '0 1 2 3 0 1 4 5',
  },
  {
    name: 'endings on lines of their own',
    text: '|: Dm7 | G7 |\n1. | Em7 | A7 :|\n2) | C | C |\n| F | F |',
    bars: four('Dm7', 'G7', 'Em7', 'A7', 'C', 'C', 'F', 'F'),
    order: '0 1 2 3 0 1 4 5 6 7',
    signs: '4/4 |: /  / 1. / 1. :| / 2. / 2. /  / ',
  },
  {
    name: 'one ending for two passes',
    text: '|: C | D |1,2. E :|3. F |',
    bars: four('C', 'D', 'E', 'F'),
    order: '0 1 2 0 1 2 0 1 3',
  },
  {
    name: 'one ending for three passes',
    text: '|: C |1.-3. E :|4. F |',
    bars: four('C', 'E', 'F'),
    order: '0 1 0 1 0 1 0 2',
  },
  { name: 'three endings', text: '|: C |1. D :|2. E :|3. F |', bars: four('C', 'D', 'E', 'F'), order: '0 1 0 2 0 3' },
  {
    name: 'endings that take turns',
    text: '|: C |1,3. D :|2,4. E :| F |',
    bars: four('C', 'D', 'E', 'F'),
    order: '0 1 0 2 0 1 0 2 3',
  },
  {
    name: 'a first ending that the second closes',
    text: '|: C | D |1. E |2. F |',
    bars: four('C', 'D', 'E', 'F'),
    order: '0 1 2 0 1 3',
  },
  {
    name: 'a first ending over two lines',
    text: '|: C | D |1. E |\n| F :|\n|2. G | A |',
    bars: four('C', 'D', 'E', 'F', 'G', 'A'),
    order: '0 1 2 3 0 1 4 5',
  },

  // Counts.
  { name: 'a count after a repeat', text: '|: C | F :| x3\n| G |', bars: four('C', 'F', 'G'), order: '0 1 0 1 0 1 2' },
  { name: 'a count in parentheses', text: '|: C :| (4x) | F |', bars: four('C', 'F'), order: '0 0 0 0 1' },
  { name: 'a count in words', text: '|: C | F :| repeat 3 times', bars: four('C', 'F'), order: '0 1 0 1 0 1' },
  { name: 'a count with a times sign', text: '|: C | F :| ×2', bars: four('C', 'F'), order: '0 1 0 1' },
  { name: 'a count for a line', text: '| C | F | (2x)\n| G |', bars: four('C', 'F', 'G'), order: '0 1 0 1 2' },
  { name: 'a count on its own line', text: '| C | F |\n(2x)\n| G |', bars: four('C', 'F', 'G'), order: '0 1 0 1 2' },
  {
    name: 'a count for a section',
    text: '[A] (2x)\n| C | F |\n| G | C |\n[B]\n| Am |',
    bars: four('C', 'F', 'G', 'C', 'Am'),
    order: '0 1 2 3 0 1 2 3 4',
  },

  // Jumps.
  {
    name: 'D.C. al Fine',
    text: '[A]\n| C | F | G | C Fine |\n[B]\n| Am | Dm | D.C. al Fine',
    bars: four('C', 'F', 'G', 'C', 'Am', 'Dm'),
    order: '0 1 2 3 4 5 0 1 2 3',
  },
  {
    name: 'D.C. al Fine after a repeat, not taken again',
    text: '|: A7 | D7 :| E7 | A7 (Fine) | F#7 | B7 | dc al fine',
    bars: four('A7', 'D7', 'E7', 'A7', 'F#7', 'B7'),
    order: '0 1 0 1 2 3 4 5 0 1 2 3',
  },
  {
    name: 'D.C. takes the last ending',
    text: '|: C | F |1. G :|2. C Fine || Am | Dm | D.C. al Fine',
    bars: four('C', 'F', 'G', 'C', 'Am', 'Dm'),
    order: '0 1 2 0 1 3 4 5 0 1 3',
  },
  {
    name: 'D.S. al Coda',
    text: '| C | Segno F | G To Coda | Am | D.S. al Coda\nCoda | Dm | G |',
    bars: four('C', 'F', 'G', 'Am', 'Dm', 'G'),
    order: '0 1 2 3 1 2 4 5',
  },
  {
    name: 'signs for segno and coda',
    text: '| C | 𝄋 F | G 𝄌 | Am | D.S. al Coda\n𝄌 | Dm | G |',
    bars: four('C', 'F', 'G', 'Am', 'Dm', 'G'),
    order: '0 1 2 3 1 2 4 5',
  },
  {
    name: 'two coda signs on lines of their own: the first leaves',
    text: '[A]\n| C | F |\n⊕\n| G | C |\nD.C. al ⊕\n⊕\n| Am | G |',
    bars: four('C', 'F', 'G', 'C', 'Am', 'G'),
    order: '0 1 2 3 0 1 4 5',
  },
  {
    name: 'marks on lines of their own',
    text: '[A]\n| C | F |\nTo Coda\n| G | C |\nD.C. al Coda\n[Coda]\n| Am | G |',
    bars: four('C', 'F', 'G', 'C', 'Am', 'G'),
    order: '0 1 2 3 0 1 4 5',
  },
  { name: 'a bare D.S.', text: '| C | Segno F | G | D.S.', bars: four('C', 'F', 'G'), order: '0 1 2 1 2' },

  // Sections.
  {
    name: 'labels in brackets',
    text: '[Intro] | C | F |\n[A]\n| G | C |\n[Bridge] Am | D7 |',
    bars: four('C', 'F', 'G', 'C', 'Am', 'D7'),
    signs: '[Intro] 4/4 /  / [A] /  / [Bridge] / ',
  },
  {
    name: 'labels with colons',
    text: 'A: | C | F |\nVerse 2: | G | C |',
    bars: four('C', 'F', 'G', 'C'),
    signs: '[A] 4/4 /  / [Verse 2] / ',
  },
  {
    name: 'labels in quotes',
    text: '"A" | C | F |\n“Out” | G |',
    bars: four('C', 'F', 'G'),
    signs: '[A] 4/4 /  / [Out]',
  },
  {
    name: 'bare letters in the margin',
    text: 'A | C | F |\nB | G | C |',
    bars: four('C', 'F', 'G', 'C'),
    signs: '[A] 4/4 /  / [B] / ',
  },
  {
    name: 'a letter that is a chord',
    text: 'C | F | G | C\nA | D | E | A',
    bars: four('C', 'F', 'G', 'C', 'A', 'D', 'E', 'A'),
  },
  {
    name: 'letters with digits',
    text: 'A1 | C | F |\nA2 | C | G |\nBridge | Am | Dm |',
    bars: four('C', 'F', 'C', 'G', 'Am', 'Dm'),
    signs: '[A1] 4/4 /  / [A2] /  / [Bridge] / ',
  },
  {
    name: 'headings',
    text: '== Bridge ==\n| Am | Dm |\n--- Coda ---\n| G |\n**Tag**\n| C |',
    bars: four('Am', 'Dm', 'G', 'C'),
    signs: '[Bridge] 4/4 /  / [Coda] Coda / [Tag]',
  },
  { name: 'letters in circles', text: 'Ⓐ | C | F |\nⒷ | G |', bars: four('C', 'F', 'G'), signs: '[A] 4/4 /  / [B]' },
  {
    name: 'letters over lines without bars',
    text: 'A\nCmaj7 A7 Dm7 G7\nB\nE7 A7 D7 G7',
    bars: four('Cmaj7', 'A7', 'Dm7', 'G7', 'E7', 'A7', 'D7', 'G7'),
    signs: '[A] 4/4 /  /  /  / [B] /  /  / ',
  },
  {
    name: 'bar numbers in the margin',
    text: '1 | C | F | G | C |\n5 | Am | D7 | G | G |\n9) | C | F |',
    bars: four('C', 'F', 'G', 'C', 'Am', 'D7', 'G', 'G', 'C', 'F'),
  },
  {
    name: 'numbered lines',
    text: '1. Dm7 | G7 | C | C\n2. Em7 | A7 | D | D',
    bars: four('Dm7', 'G7', 'C', 'C', 'Em7', 'A7', 'D', 'D'),
  },
  {
    name: 'ranges of bars in the margin',
    text: 'Bars 1-2: | C | F |\nBars 3-4: | G | C |',
    bars: four('C', 'F', 'G', 'C'),
  },

  // No bar lines at all.
  { name: 'a list of chords', text: 'Dm7 G7 Cmaj7 Am7', bars: four('Dm7', 'G7', 'Cmaj7', 'Am7') },
  {
    name: 'a list with dashes, commas and arrows',
    text: 'Dm7 - G7 - Cmaj7, Am7 → D7 -> G',
    bars: four('Dm7', 'G7', 'Cmaj7', 'Am7', 'D7', 'G'),
  },
  { name: 'a list without spaces', text: 'Dm7,G7,Cmaj7', bars: four('Dm7', 'G7', 'Cmaj7') },
  { name: 'tabs between bars', text: 'Dm7 G7\tCmaj7\nAm7\tD7', bars: 'Dm7:2 G7:2 | Cmaj7:4 | Am7:4 | D7:4' },
  { name: 'beats without bar lines', text: 'Dm7 / G7 / Cmaj7 / / /', bars: 'Dm7:2 G7:2 | Cmaj7:4' },
  {
    name: 'chords over words',
    text: 'Dm7      G7\nSing a little song\nCmaj7\nof sixpence',
    bars: four('Dm7', 'G7', 'Cmaj7'),
    known: false,
  },
  {
    name: 'chords among words',
    text: '{title: My Song}\n{key: G}\n[G]Hello my [D7]darling\n[Em]goodbye',
    bars: four('G', 'D7', 'Em'),
    known: false,
  },

  // ChordPro grids.
  {
    name: 'a grid',
    text: '{start_of_grid: Intro}\nA | C . . . | F . G . | % . . . | C~G . . . |\n{end_of_grid}',
    bars: 'C:4 | F:2 G:2 | F:2 G:2 | C:0.5 G:3.5',
    signs: '[A] 4/4 /  /  / ',
  },
  {
    name: 'a grid of two cells a bar',
    text: '{sog shape="4x2"}\n| C . | F G | C . | % . |\n{eog}',
    bars: 'C:4 | F:2 G:2 | C:4 | C:4',
  },
  {
    name: 'a grid with repeats and two-bar signs',
    text: '{start_of_grid}\n|: C . G . | % . . . :| x4\n| F . . . | %% . . . | . . . . |.\n{end_of_grid}',
    bars: 'C:2 G:2 | C:2 G:2 | F:4 | C:2 G:2 | F:4',
    order: '0 1 0 1 0 1 0 1 2 3 4',
  },

  // Numerals, keys, meters, German letters.
  {
    name: 'numerals',
    text: 'Key: C\n| ii7 V7 | Imaj7 vi7 | V7/ii | bVIImaj7 |',
    bars: 'Dm7:2 G7:2 | Cmaj7:2 Am7:2 | A7:4 | Bbmaj7:4',
  },
  {
    name: 'numerals in minor',
    text: 'Key: Am\n| iiø7 V7b9 | i | bVI | iv6 |',
    bars: 'Bm7b5:2 E7(b9):2 | Am:4 | F:4 | Dm6:4',
  },
  {
    name: 'numerals after a change of key',
    text: 'Key: C\n| I |\nKey: Eb\n| I | V7 |',
    bars: four('C', 'Eb', 'Bb7'),
    signs: '4/4 / key Eb / ',
  },
  {
    name: 'a key within the bars',
    text: 'Key: C\n| C | F |\n| [Key: G] G | D7 |',
    bars: four('C', 'F', 'G', 'D7'),
    signs: '4/4 /  / key G / ',
  },
  {
    name: 'a meter within the bars',
    text: '| C | 3/4 F | G | 4/4 C |',
    bars: 'C:4 | F:3 | G:3 | C:4',
    signs: '4/4 / 3/4 /  / 4/4',
  },
  { name: 'a meter on its own line', text: '| C |\n(3/4)\n| F | G |', bars: 'C:4 | F:3 | G:3' },
  {
    name: 'German letters',
    text: 'Tonart: d-Moll\n| Dm | B | Es7 |'.replace('Es7', 'Eb7'),
    bars: four('Dm', 'Bb', 'Eb7'),
  },
  { name: 'H makes a chart German', text: '| H7 | E7 | Hm7b5 | B |', bars: four('B7', 'E7', 'Bm7b5', 'Bb') },

  // Spellings that only a chart settles.
  {
    name: 'symbols with spaces inside',
    text: '| C maj7 | G 7 (b9) | A min | D 7(b9, 13) |',
    bars: four('Cmaj7', 'G7(b9)', 'Am', 'D13(b9)'),
  },
  { name: 'small letters', text: '| dm7 | g7 | cmaj7 |', bars: four('Dm7', 'G7', 'Cmaj7') },
  { name: 'small letters without bar lines', text: 'am dm g7 c', bars: four('Am', 'Dm', 'G7', 'C') },
  { name: 'capitals throughout', text: '| EBMAJ7 | BBMI7 EB7 | ABMA7 |', bars: 'Ebmaj7:4 | Bbm7:2 Eb7:2 | Abmaj7:4' },
  {
    name: 'optional chords',
    text: '| Dm7 (G7) | Cmaj7 (Em7 A7 D7) |',
    bars: 'Dm7:2 (G7):2 | Cmaj7:1 (Em7):1 (A7):1 (D7):1',
  },
  { name: 'footnotes and commas', text: '| Dm7* | G7, C7 |', bars: 'Dm7:4 | G7:2 C7:2' },

  // What stands around the music.
  {
    name: 'an e-mail',
    text: 'From: Bob\nSubject: Friday\n\nHey there,\n\n> here are the changes:\n> Key: F\n> | F7 | Bb7 |\n>> | F7 | C7 |\n>\n> See you',
    bars: four('F7', 'Bb7', 'F7', 'C7'),
  },
  { name: 'a code fence', text: 'My Tune\n```\n| Dm7 | G7 |\n```', bars: four('Dm7', 'G7') },
  {
    name: 'a table with a heading',
    text: '| Bar 1 | Bar 2 |\n|---|---|\n| Dm7 | G7 |\n| C | A7 |',
    bars: four('Dm7', 'G7', 'C', 'A7'),
  },
  { name: 'a table without a heading', text: '| | |\n|:---:|---|\n| Dm7 | G7 |', bars: four('Dm7', 'G7') },
  {
    name: 'a table whose first column labels',
    text: '| **A** | Dm7 | G7 |\n| **B** | C | F |',
    bars: four('Dm7', 'G7', 'C', 'F'),
    signs: '[A] 4/4 /  / [B] / ',
  },
  {
    name: 'a table whose first row is music',
    text: '| Dm7 | G7 |\n|-----|----|\n| C | A7 |',
    bars: four('Dm7', 'G7', 'C', 'A7'),
  },
  {
    name: 'comments',
    text: '# a study\n| Dm7 | G7 | // turnaround\n| C | C | # last time rit.',
    bars: four('Dm7', 'G7', 'C', 'C'),
  },
  { name: 'remarks within bars', text: '| C (light) | F "push" | [*soft] G |', bars: four('C', 'F', 'G') },
  { name: 'words after the last bar line', text: '| C | F | and so on\n| G |', bars: four('C', 'F', 'G') },
  { name: 'words under the bars', text: '| C | F |\nla la la la\n| G | C |', bars: four('C', 'F', 'G', 'C') },
  {
    name: 'a heading over it all',
    text: 'Blue Study\nFast swing, 220 bpm\n4/4\n\nBb7 | Eb7 | Bb7 | %',
    bars: four('Bb7', 'Eb7', 'Bb7', 'Bb7'),
  },
]

const allInOrder = (text: string) =>
  readChart(text)
    .bars.map((_, i) => i)
    .join(' ')

test.each(messy)('$name', ({ text, bars, order, signs, known }) => {
  const chart = readChart(text)
  expect(chart.problems.filter((problem) => problem.severity === 'error')).toEqual([])
  expect(barsText(chart)).toBe(bars)
  expect(chart.playOrder.join(' ')).toBe(order ?? allInOrder(text))
  expect(chart.barsKnown).toBe(known ?? true)
  if (signs !== undefined) expect(signsText(chart)).toBe(signs)
})

describe('headers', () => {
  const heads = (text: string) => {
    const { title, composer, style, tempo, key, meter } = readChart(`${text}\n| C |`)
    return { title, composer, style, tempo, key: key && nameOfKey(key), meter: `${meter.beats}/${meter.unit}` }
  }
  const none = { title: null, composer: null, style: null, tempo: null, key: null, meter: '4/4' }
  test.each([
    [
      'Title: Study\nComposer: N. N.\nKey: Eb\nTime: 3/4\nTempo: 120\nFeel: Waltz',
      { title: 'Study', composer: 'N. N.', key: 'Eb', meter: '3/4', tempo: 120, style: 'Waltz' },
    ],
    ['Title: X | Key: Bb | Time: 3/4 | Tempo: 160', { title: 'X', key: 'Bb', meter: '3/4', tempo: 160 }],
    ['**Key:** F#m', { key: 'F#m' }],
    ['key = E flat minor', { key: 'Ebm' }],
    ['Key of A', { key: 'A' }],
    ['Tonart: B-Dur', { key: 'Bb' }],
    ['Tonart: h-Moll', { key: 'Bm' }],
    ['Tonart: fis-Moll', { key: 'F#m' }],
    ['Key: D dorian', { key: 'Dm' }],
    ['Key: C (concert)', { key: 'C' }],
    ['Meter: 6/8', { meter: '6/8' }],
    ['Time: cut time', { meter: '2/2' }],
    ['Tempo: Medium swing', { style: 'Medium swing' }],
    ['Tempo: ♩ = 96', { tempo: 96 }],
    ['My Study\nMedium swing ♩=140', { title: 'My Study', style: 'Medium swing', tempo: 140 }],
    ['My Study (Key: F)', { title: 'My Study', key: 'F' }],
    ['(Medium swing)', { style: 'Medium swing' }],
    ['# My Study\n\n## A', { title: 'My Study' }],
    ['{title: Study}\n{key: Ab}\n{time: 3/4}\n{tempo: 99}', { title: 'Study', key: 'Ab', meter: '3/4', tempo: 99 }],
    ['Dear friend,\nhere is a tune.', {}],
  ])('%j', (text, wanted) => {
    expect(heads(text)).toEqual({ ...none, ...wanted })
  })
})
