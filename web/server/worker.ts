/** A worker of the pool: answers one question at a time, with an engraver that it keeps. */

// All that files are written with is loaded as a worker begins: Node never closes what a thread was just opening when it was ended from
// outside, as it is where nobody waits for its work any more.
import '../../lib/engrave/book.ts'
import '../../lib/engrave/pdf/writePdf.ts'
import '../../lib/engrave/png.ts'
import '../../lib/lineText.ts'
import '../../lib/score/writeAbc.ts'
import '../../lib/score/writeMidi.ts'
import '../../lib/score/writeMusicXml.ts'
import '../../lib/sound/bandMidi.ts'
import { answerChoices, answerKeep } from '../views/choicesPage.ts'
import { answerFigures } from '../views/figuresPage.ts'
import { answerMark } from '../views/markPage.ts'
import { answerPacket } from '../views/packetPage.ts'
import { answerPage } from '../views/pages.ts'
import { answerPlan } from '../views/planPage.ts'
import type { Answer } from './answer.ts'
import { answerDownload, answerSheet } from './downloads.ts'
import { answerEdit, answerRead } from './edits.ts'
import { comesAfter, retireIfGrown, settled } from './retire.ts'
import type { Question } from './workerRequest.ts'

/** Answers a question; the same question always gets the same bytes. */
export default async function answer(question: Question): Promise<Answer> {
  const given = await answerOf(question)
  retireIfGrown()
  return given
}

async function answerOf(question: Question): Promise<Answer> {
  switch (question.kind) {
    case 'warm':
      return answerPage({ kind: 'page', given: {}, badLink: false, origin: '' })
    case 'page':
      return answerPage(question)
    case 'choices':
      return answerChoices(question)
    case 'figures':
      return answerFigures(question.given)
    case 'download':
      return answerDownload(question)
    case 'sheet':
      return answerSheet(question)
    case 'keep':
      return answerKeep(question)
    case 'edit':
      return answerEdit(question)
    case 'mark':
      return answerMark(question)
    case 'plan':
      return answerPlan(question)
    case 'packet':
      return answerPacket(question)
    case 'read':
      return answerRead(question)
  }
}

if (comesAfter()) await answer({ kind: 'warm' })
settled()
