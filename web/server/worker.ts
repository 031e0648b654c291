/** A worker of the pool: answers one question at a time, with an engraver that it keeps. */

import { answerChoices, answerKeep } from '../views/choicesPage.ts'
import { answerFigures } from '../views/figuresPage.ts'
import { answerPage } from '../views/pages.ts'
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
      // Readers of lines are loaded for who asks for them.
      return (await import('../views/markPage.ts')).answerMark(question)
    case 'plan':
      return (await import('../views/planPage.ts')).answerPlan(question)
    case 'packet':
      return (await import('../views/packetPage.ts')).answerPacket(question)
    case 'read':
      return answerRead(question)
  }
}

if (comesAfter()) await answer({ kind: 'warm' })
settled()
