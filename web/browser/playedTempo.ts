/** The tempo an item of a plan was last played at in this tab: kept as its stand is left, so that a tap on the list notes it. */
import type { PlanItem } from '../../lib/practice/planDay.ts'

type Asked = Pick<PlanItem, 'id' | 'tempo'>

/** An item that is asked for at another tempo is to be played anew. */
const nameOf = (plan: string, { id, tempo }: Asked): string => `throughline.played ${plan} ${id} ${tempo}`

/** Keeps the tempo, in quarter notes a minute. */
export function keepTempo(plan: string, item: Asked, tempo: number): void {
  try {
    sessionStorage.setItem(nameOf(plan, item), String(tempo))
  } catch {
    // Then a tap on the list notes the tempo of the plan.
  }
}

/** The tempo it was played at, in quarter notes a minute; that of the plan where it was not played at the stand. */
export function tempoPlayed(plan: string, item: Asked): number {
  try {
    const tempo = Number(sessionStorage.getItem(nameOf(plan, item)))
    return tempo > 0 ? tempo : item.tempo
  } catch {
    return item.tempo
  }
}
