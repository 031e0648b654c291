/** Controls of single choices of the brief: lists, ticks and fields, which tell what is chosen and show what holds. */
import { type Brief, choices, defaultBrief, readBrief } from '../../lib/brief.ts'

export type Name = keyof Brief

/** The values of a choice on offer in words. A value of a link that is not among them is added as it is. */
export const wordsOf = (name: Name) => choices[name].page.words ?? []

export const element = <K extends keyof HTMLElementTagNameMap>(
  name: K,
  props: Partial<HTMLElementTagNameMap[K]> = {},
  ...children: (Node | string)[]
): HTMLElementTagNameMap[K] => {
  const made = document.createElement(name)
  Object.assign(made, props)
  made.append(...children)
  return made
}

/** Tells that a choice is made; null for the usual one. */
type OnChoice = (name: Name, text: string | null) => void

export class ChoiceControls {
  readonly #onChoice: OnChoice
  readonly #controls = new Map<string, HTMLInputElement | HTMLSelectElement>()

  constructor(onChoice: OnChoice) {
    this.#onChoice = onChoice
  }

  changed(name: Name, text: string): void {
    this.#onChoice(name, text === writeChoice(name, defaultBrief) ? null : text)
  }

  select(name: Name): HTMLElement {
    const made = element('select', { ariaLabel: choices[name].page.label })
    made.dataset.choice = name
    for (const [value, text] of wordsOf(name)) made.append(new Option(text, value))
    made.addEventListener('change', () => this.changed(name, made.value))
    this.#controls.set(name, made)
    return made
  }

  tick(name: Name): HTMLElement {
    const box = element('input', { type: 'checkbox' })
    box.addEventListener('change', () => this.changed(name, box.checked ? 'yes' : 'no'))
    this.#controls.set(name, box)
    return element('label', { className: 'tick' }, box, wordsOf(name)[0]?.[1] ?? choices[name].page.label)
  }

  /** A field for what a choice takes as text; empty for the usual. */
  field(name: Name): HTMLInputElement {
    const { label, hint = '' } = choices[name].page
    const made = textField(label, hint, (text) => {
      if (text === '') {
        this.#onChoice(name, null)
        return ''
      }
      const [problem] = readBrief({ [name]: text }).problems
      if (problem) return `Expected ${problem.expected}; ${problem.hint}.`
      this.changed(name, text)
      return ''
    })
    made.inputMode = name === 'loop' ? 'text' : 'decimal'
    this.#controls.set(name, made)
    return made
  }

  /** Shows what a brief says, but for the control that is being used. */
  show(brief: Brief): void {
    for (const [name, control] of this.#controls) {
      if (control === document.activeElement) continue
      const text = writeChoice(name as Name, brief)
      if (control instanceof HTMLSelectElement) {
        if (![...control.options].some((option) => option.value === text)) control.append(new Option(text, text))
        control.value = text
      } else if (control.type === 'checkbox') control.checked = text === 'yes'
      else control.value = text
    }
  }
}

/** A field for a number or bars; what cannot be read is said in the field itself and changes nothing. */
export function textField(label: string, hint: string, onText: (text: string) => string): HTMLInputElement {
  const made = element('input', { type: 'text', className: 'field', ariaLabel: label, placeholder: hint })
  made.inputMode = 'decimal'
  made.addEventListener('change', () => {
    made.setCustomValidity(onText(made.value.trim()))
    made.ariaInvalid = String(!made.validity.valid)
    made.reportValidity()
  })
  return made
}

const writeChoice = <K extends Name>(name: K, brief: Brief): string => choices[name].text(brief[name])
