import { defineConfig } from 'vitest/config'

/** What is timed to a beat or a moment, which nothing else may share the machine with. */
const timed = ['sound', 'stand', 'tempo'].map((name) => `test/browser/${name}.test.ts`)

/** Tests in a real Chromium: two files at a time, then those that are timed, one after the other. */
export default defineConfig({
  test: {
    testTimeout: 120_000,
    hookTimeout: 60_000,
    expect: { poll: { timeout: 15_000 } },
    projects: [
      {
        extends: true,
        test: {
          name: 'page',
          include: ['test/browser/**/*.test.ts'],
          exclude: timed,
          maxWorkers: 2,
          sequence: { groupOrder: 0 },
        },
      },
      { extends: true, test: { name: 'timed', include: timed, maxWorkers: 1, sequence: { groupOrder: 1 } } },
    ],
  },
})
