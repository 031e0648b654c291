/** A worker of the pool: answers one question at a time, with an engraver that it keeps. */
import type { Answer } from './answer.ts'
import { answerChoices } from './choicesPage.ts'
import { answerDownload, answerSheet } from './downloads.ts'
import { answerEdit, answerRead } from './edits.ts'
import { answerPage } from './pages.ts'
import type { Question } from './question.ts'

/** Answers a question; the same question always gets the same bytes. */
export default async function answer(question: Question): Promise<Answer> {
  switch (question.kind) {
    case 'warm':
      return answerPage({ kind: 'page', given: {}, badLink: false, origin: '' })
    case 'page':
      return answerPage(question)
    case 'choices':
      return answerChoices(question)
    case 'download':
      return answerDownload(question)
    case 'sheet':
      return answerSheet(question)
    case 'edit':
      return answerEdit(question)
    case 'read':
      return answerRead(question)
  }
}
