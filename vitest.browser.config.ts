import { defineConfig } from 'vitest/config'

/** Tests in a real Chromium, one file after the other: they share the machine with the browser. */
export default defineConfig({
  test: {
    include: ['test/browser/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    fileParallelism: false,
    expect: { poll: { timeout: 15_000 } },
  },
})
