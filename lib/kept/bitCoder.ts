/** Bits to bytes and back by what came before them: an adaptive binary arithmetic coder (Rissanen and Langdon, 1979). */

/**
 * Codes bits under names of what they mean, and learns how each falls. Writing, it takes the bit that is given and gives it
 * back; reading, it gives the bit that stands there, whatever is given. So one walk over a thing both writes and reads it.
 */
export interface BitCoder {
  bit(meaning: string, value: 0 | 1): 0 | 1
}

/** How often a bit of one meaning was 1, in 65,536ths, and how many came. */
interface Chance {
  one: number
  seen: number
}

/** The slowest that a chance learns: by a 40th of what it missed. */
const slowest = 40

function chances() {
  const known = new Map<string, Chance>()
  return {
    of: (meaning: string): Chance => {
      let chance = known.get(meaning)
      if (!chance) {
        chance = { one: 32_768, seen: 0 }
        known.set(meaning, chance)
      }
      return chance
    },
    learn: (chance: Chance, value: 0 | 1): void => {
      chance.seen += 1
      const missed = (value === 1 ? 65_536 : 0) - chance.one
      chance.one += Math.trunc(missed / Math.min(chance.seen + 1.5, slowest))
      chance.one = Math.min(65_472, Math.max(64, chance.one))
    },
  }
}

/** Where the interval from low to high is parted: at and below it lies a 1. */
const partOf = (low: number, high: number, { one }: Chance): number => low + Math.floor(((high - low) * one) / 65_536)

const top = 0x1000000

/** A coder that writes, and its bytes once all is written. */
export function writeBits(): BitCoder & { readonly bytes: () => Uint8Array } {
  const { of, learn } = chances()
  const out: number[] = []
  let low = 0
  let high = 0xffffffff
  return {
    bit(meaning, value) {
      const chance = of(meaning)
      const part = partOf(low, high, chance)
      if (value === 1) high = part
      else low = part + 1
      learn(chance, value)
      while (Math.floor(low / top) === Math.floor(high / top)) {
        out.push(Math.floor(high / top))
        low = (low % top) * 256
        high = (high % top) * 256 + 255
      }
      return value
    },
    bytes: () => {
      // As few bytes as tell a number in the interval, read on with zeros.
      for (let count = 1, unit = top; count <= 4; count++, unit /= 256) {
        const end = Math.ceil(low / unit) * unit
        if (end > high) continue
        const last = Array.from({ length: count }, (_, i) => Math.floor(end / 256 ** (3 - i)) % 256)
        return Uint8Array.from([...out, ...last])
      }
      return Uint8Array.from(out)
    },
  }
}

/** A coder that reads what the other wrote; past the end it reads zeros. */
export function readBits(bytes: Uint8Array): BitCoder {
  const { of, learn } = chances()
  let low = 0
  let high = 0xffffffff
  let at = 4
  let code = [0, 1, 2, 3].reduce((sum, i) => sum * 256 + (bytes[i] ?? 0), 0)
  return {
    bit(meaning) {
      const chance = of(meaning)
      const part = partOf(low, high, chance)
      const value = code <= part ? 1 : 0
      if (value === 1) high = part
      else low = part + 1
      learn(chance, value)
      while (Math.floor(low / top) === Math.floor(high / top)) {
        low = (low % top) * 256
        high = (high % top) * 256 + 255
        code = (code % top) * 256 + (bytes[at++] ?? 0)
      }
      return value
    },
  }
}

/** A whole number of so many bits, each under the ones above it. */
export function codeBits(coder: BitCoder, meaning: string, value: number, bits: number): number {
  let sofar = 1
  for (let i = bits - 1; i >= 0; i--) sofar = sofar * 2 + coder.bit(`${meaning} ${sofar}`, ((value >> i) & 1) as 0 | 1)
  return sofar - 2 ** bits
}

/** A whole number from 0 on, short where it is small (after Elias, 1975); more than 20 bits is nonsense and ends it. */
export function codeCount(coder: BitCoder, meaning: string, value: number): number {
  const length = Math.floor(Math.log2(value + 1))
  let bits = 0
  while (bits < 20 && coder.bit(`${meaning} length ${bits}`, bits < length ? 1 : 0) === 1) bits += 1
  return codeBits(coder, `${meaning} of ${bits}`, value + 1 - 2 ** bits, bits) + 2 ** bits - 1
}

/** A whole number about 0. */
export function codeNumber(coder: BitCoder, meaning: string, value: number): number {
  const coded = codeCount(coder, meaning, value < 0 ? -2 * value - 1 : 2 * value)
  return coded % 2 === 1 ? -(coded + 1) / 2 : coded / 2
}
