/** The page of a class packet: what goes in, ticked, and every file that it will hold, before it is made. */
import { choices } from '../../lib/choices/choices.ts'
import { exportOf, pathOf } from '../../lib/exports.ts'
import { planPacket } from '../../lib/packet.ts'
import { askedParts } from '../../lib/score/classSet.ts'
import { instruments, partGroups } from '../../lib/theory/instrument.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import { fieldsOf, linkerOf, plainGiven } from '../server/address.ts'
import { type Answer, pageAnswer } from '../server/answer.ts'
import { build, placed } from '../server/assets.ts'
import type { PacketQuestion } from '../server/workerRequest.ts'
import { homeKey, readState, type State } from './pages.ts'
import { controlsOf, familyNames } from './sentence.ts'
import { fill } from './templates.ts'

/** What the form of the packet asks for itself; the rest is carried along in it. */
const asked: readonly string[] = ['parts', 'packet', 'key', 'keys', 'print', 'paper']

/** Answers with the page of a packet. */
export function answerPacket({ given: wanted, badLink }: PacketQuestion): Answer {
  const state = readState(wanted, badLink)
  const { view, written, problems } = state
  const given = plainGiven(state.given)
  const link = linkerOf(given)
  const fields = Object.entries(fieldsOf(given)).map(([name, value]) => ({ name, value }))
  const planned = state.wrong || written.lines.length === 0 ? null : planPacket(written)
  const amiss = planned && 'problems' in planned ? planned.problems : planned ? [] : problems
  const files = planned && 'files' in planned ? planned.files.map(({ name }) => name) : []
  const zip = exportOf('packet')!
  const html = fill('packet', {
    title: 'Class packet – Throughline',
    ...placed(),
    view,
    tune: written.lines[0]?.harmony.title ?? '',
    back: link('./') ?? './',
    lines: planned !== null || problems.length > 0,
    carried: fields.filter(({ name }) => !asked.includes(name)),
    whole: fields,
    ...ticks(state),
    controls: controlsOf({ ...state, heard: homeKey(written) }, view),
    problems: amiss,
    count: files.length,
    href: link(`.${pathOf(zip)}`, { v: build }) ?? '',
    file: `${planned && 'tune' in planned ? planned.tune : 'line'}-class-packet.zip`,
    folders: foldersOf(files),
  })
  return pageAnswer(amiss.length > 0 || planned === null ? 422 : 200, html)
}

/** What can be ticked: groups of a class, instruments by family, and what goes in. */
function ticks({ brief }: State) {
  const chosen = brief.parts.length > 0 ? brief.parts : askedParts(brief).flatMap(({ group }) => group ?? [])
  const tick = (value: string, words: string) => ({ value, words, chosen: chosen.includes(value) })
  const { label, words = [] } = choices.packet.page
  return {
    groups: partGroups.map((group) => tick(group, group === 'bass clef' ? group : `${withSigns(group)} instruments`)),
    families: Object.entries(familyNames).map(([family, name]) => {
      const options = instruments.filter((each) => each.family === family).map(({ id, name }) => tick(id, name))
      return { label: name, options, open: options.some((option) => option.chosen) }
    }),
    contents: {
      label,
      options: words.map(([value, said]) => ({
        value,
        words: said,
        chosen: brief.packet.some((content) => content === value),
      })),
    },
  }
}

/** Files by their folders, in order. */
function foldersOf(
  names: readonly string[],
): readonly { readonly folder: string; readonly files: readonly string[] }[] {
  const folders = new Map<string, string[]>()
  for (const name of names) {
    const at = name.lastIndexOf('/')
    const folder = name.slice(0, Math.max(0, at))
    folders.set(folder, [...(folders.get(folder) ?? []), name.slice(at + 1)])
  }
  return [...folders].map(([folder, files]) => ({ folder, files }))
}
