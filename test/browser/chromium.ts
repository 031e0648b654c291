/** Where Debian's Chromium is, and the flags that keep it to this machine. */
import { existsSync } from 'node:fs'

/** Undefined where there is none. */
export const executable = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find((path) =>
  existsSync(path),
)

/** The browser's own calls home are switched off: nothing leaves this machine. */
export const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]
