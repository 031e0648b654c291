/** Rooms stay small: no function over 80 lines and no file over 400, what stands in tables left out. Read by TypeScript itself. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { type Node, type SourceFile, SyntaxKind } from 'typescript/unstable/ast'
import { API } from 'typescript/unstable/sync'
import { expect, onTestFinished, test } from 'vitest'

const mostInFunction = 80
const mostInFile = 400

/** What has a body of its own. A function within another counts there, too; a class is no function, its methods are. */
const functions: ReadonlySet<SyntaxKind> = new Set([
  SyntaxKind.FunctionDeclaration,
  SyntaxKind.FunctionExpression,
  SyntaxKind.ArrowFunction,
  SyntaxKind.MethodDeclaration,
  SyntaxKind.Constructor,
  SyntaxKind.GetAccessor,
  SyntaxKind.SetAccessor,
])
/** What does something: a literal that holds any of it is no table but part of the code. */
const deeds: ReadonlySet<SyntaxKind> = new Set([
  ...functions,
  SyntaxKind.CallExpression,
  SyntaxKind.NewExpression,
  SyntaxKind.TaggedTemplateExpression,
  SyntaxKind.AwaitExpression,
  SyntaxKind.YieldExpression,
])

const holds = (node: Node, kinds: ReadonlySet<SyntaxKind>): boolean =>
  node.forEachChild((child) => kinds.has(child.kind) || holds(child, kinds) || undefined) ?? false

/** A table is a list or a record of plain values and names, over several lines. */
const isTable = (node: Node): boolean =>
  (node.kind === SyntaxKind.ArrayLiteralExpression || node.kind === SyntaxKind.ObjectLiteralExpression) &&
  !holds(node, deeds)

/** The lines of a piece of source, those inside its tables left out. */
function linesOf(node: Node, file: SourceFile): number {
  const spanned = (from: number, to: number) => file.text.slice(from, to).trimEnd().split('\n').length
  const insideTables = (piece: Node): number => {
    if (isTable(piece)) return Math.max(0, spanned(piece.getStart(file), piece.end) - 2)
    let sum = 0
    piece.forEachChild((child) => {
      sum += insideTables(child)
    })
    return sum
  }
  return spanned(node.getStart(file), node.end) - insideTables(node)
}

/** What is too long among the files of some projects, with its lines. */
function tooLong(projects: readonly string[], folders: readonly string[]): { seen: number; long: readonly string[] } {
  const api = new API({})
  try {
    const snapshot = api.updateSnapshot({ openProjects: projects.map((project) => resolve(project)) })
    const roots = folders.map((folder) => `${resolve(folder)}/`)
    const files = new Map<string, SourceFile>()
    for (const { program, rootFiles } of snapshot.getProjects())
      for (const name of rootFiles)
        if (roots.some((root) => name.startsWith(root)) && !name.endsWith('.d.ts'))
          files.set(name, program.getSourceFile(name)!)
    const long: string[] = []
    for (const [name, file] of files) {
      const said = (node: Node, most: number, what: string) => {
        const lines = linesOf(node, file)
        if (lines > most) long.push(`${name.slice(resolve('.').length + 1)}: ${what} has ${lines} lines`)
      }
      const walk = (node: Node): void => {
        const { name: own, body, parent } = node as Node & { name?: Node; body?: Node; parent?: { name?: Node } }
        const named = own ?? parent?.name
        if (functions.has(node.kind) && body)
          said(node, mostInFunction, named ? named.getText(file) : 'a function without a name')
        node.forEachChild(walk)
      }
      walk(file)
      said(file, mostInFile, 'it')
    }
    return { seen: files.size, long }
  } finally {
    api.close()
  }
}

test('no function is over 80 lines and no file over 400, tables left out', () => {
  const { seen, long } = tooLong(['tsconfig.json', 'web/browser/tsconfig.json'], ['lib', 'web'])
  expect(seen).toBeGreaterThan(250)
  expect(long).toEqual([])
})

test('the check itself refuses, and knows a table from code', () => {
  mkdirSync('node_modules/.throughline', { recursive: true })
  const folder = mkdtempSync('node_modules/.throughline/rooms-')
  onTestFinished(() => rmSync(folder, { recursive: true }))
  const lines = (count: number, line: string) => `${line}\n`.repeat(count)
  const body = lines(79, '  f()')
  const files: Readonly<Record<string, string>> = {
    'fits.ts': `declare const f: () => void\nexport function fits() {\n${lines(78, '  f()')}}\n`,
    'over.ts': `declare const f: () => void\nexport function over() {\n${body}}\n`,
    'arrow.ts': `declare const f: () => void\nexport const arrow = () => {\n${body}}\n`,
    'method.ts': `declare const f: () => void\nexport class Some {\n  method() {\n${body}  }\n}\n`,
    'small.ts': `declare const f: () => void\nexport class Some {\n${Array.from({ length: 50 }, (_, i) => `  a${i}() {\n  }\n`).join('')}}\n`,
    'nested.ts': `declare const f: () => void\nexport function outer() {\n  const inner = () => {\n${lines(77, '  f()')}  }\n  inner()\n}\n`,
    'table.ts': `export function table() {\n  return [\n${lines(200, "    { name: 'a', bars: [1, 2] },")}  ]\n}\n`,
    'called.ts': `declare const f: () => number\nexport function called() {\n  return [\n${lines(200, '    f(),')}  ]\n}\n`,
    'record.ts': `declare const f: () => void\nexport const record = {\n  deed() {\n${body}  },\n}\n`,
    'long.ts': lines(401, 'export {}'),
    'tables.ts': `export const tables = {\n${Array.from({ length: 500 }, (_, i) => `  a${i}: [1, -1],\n`).join('')}}\n`,
  }
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text)
  writeFileSync(join(folder, 'tsconfig.json'), '{ "include": ["*.ts"], "compilerOptions": { "types": [] } }')
  const { seen, long } = tooLong([join(folder, 'tsconfig.json')], [folder])
  expect(seen).toBe(Object.keys(files).length)
  expect(long.map((said) => said.slice(folder.length + 1)).sort()).toEqual([
    'arrow.ts: arrow has 81 lines',
    'called.ts: called has 204 lines',
    'long.ts: it has 401 lines',
    'method.ts: method has 81 lines',
    'nested.ts: outer has 82 lines',
    'over.ts: over has 81 lines',
    'record.ts: deed has 81 lines',
  ])
})
