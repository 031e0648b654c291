/** What players call the kinds of approach, in messages and lists. */
import type { FigureKind } from './figures.ts'

export const kindNames: Readonly<Record<FigureKind, string>> = {
  enclosure: 'enclosure',
  chromatic: 'chromatic approach',
  scale: 'approach by scale',
  arpeggio: 'approach by chord tones',
  mixed: 'free approach',
}
