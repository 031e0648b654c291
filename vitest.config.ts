import { defineConfig } from 'vitest/config'

/** Two files at a time: some start servers and workers of their own, on machines of two cores. */
export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    exclude: ['test/browser/**', 'node_modules/**'],
    setupFiles: ['test/fixedSeed.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
  },
})
