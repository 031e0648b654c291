/** Work that waits its turn: first come, first served for each who asks, and those who ask take turns. */

/** Why work was not done: there was no room to wait, or whoever asked for it left while it waited. */
export type NotDone = 'full' | 'gone'

export interface FairQueue {
  /** Does the work once a lane is free and it is this asker's turn; comes back with what it gives. */
  run<T>(who: string, work: () => Promise<T>, left?: AbortSignal): Promise<T | NotDone>
  /** How many are being worked on and how many wait. */
  load(): { readonly going: number; readonly waiting: number }
}

interface Ticket {
  readonly start: () => void
  readonly refuse: (why: NotDone) => void
}

/**
 * A queue with so many lanes, and room for so many to wait. Where the room is taken, the newest of whoever holds most of it
 * gives way to someone who holds less.
 */
export function startQueue(lanes: number, room: number): FairQueue {
  /** Who waits, in the order of their turns, each with their own in order. */
  const waiting = new Map<string, Ticket[]>()
  let going = 0
  const count = (): number => [...waiting.values()].reduce((sum, own) => sum + own.length, 0)

  const next = (): void => {
    while (going < lanes) {
      const turn = waiting.entries().next().value
      if (!turn) return
      const [who, own] = turn
      waiting.delete(who)
      const ticket = own.shift()!
      // Whoever has more waiting goes to the end of the turns.
      if (own.length > 0) waiting.set(who, own)
      going += 1
      ticket.start()
    }
  }

  const take = (who: string, ticket: Ticket): void => {
    const own = waiting.get(who) ?? []
    own.push(ticket)
    waiting.set(who, own)
  }

  const drop = (who: string, ticket: Ticket): boolean => {
    const own = waiting.get(who)
    const at = own?.indexOf(ticket) ?? -1
    if (!own || at < 0) return false
    own.splice(at, 1)
    if (own.length === 0) waiting.delete(who)
    return true
  }

  /** Makes room for someone who holds less of it than another; false where nobody does. */
  const makeRoom = (who: string): boolean => {
    if (count() < room) return true
    const [most, held] = [...waiting].reduce((a, b) => (b[1].length > a[1].length ? b : a), ['', [] as Ticket[]])
    if (held.length <= (waiting.get(who)?.length ?? 0) + 1) return false
    const newest = held.at(-1)!
    drop(most, newest)
    newest.refuse('full')
    return true
  }

  return {
    run<T>(who: string, work: () => Promise<T>, left?: AbortSignal) {
      return new Promise<T | NotDone>((resolve, reject) => {
        if (left?.aborted) return resolve('gone')
        const leave = (): void => {
          if (drop(who, ticket)) resolve('gone')
        }
        const ticket: Ticket = {
          start: () => {
            left?.removeEventListener('abort', leave)
            work()
              .finally(() => {
                going -= 1
                next()
              })
              .then(resolve, reject)
          },
          refuse: (why) => {
            left?.removeEventListener('abort', leave)
            resolve(why)
          },
        }
        if (going >= lanes && !makeRoom(who)) return resolve('full')
        left?.addEventListener('abort', leave, { once: true })
        take(who, ticket)
        next()
      })
    },
    load: () => ({ going, waiting: count() }),
  }
}
