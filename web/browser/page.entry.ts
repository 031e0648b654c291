/** The page's script: what the form and the links do without it, it does without leaving the page. */
import { watchBars } from './bars.ts'
import { watchChanges } from './editing.ts'
import { watchSound } from './loadSound.ts'
import { watchMine } from './mine.ts'
import { start } from './moving.ts'
import { watchMusic } from './music.ts'
import { watchOffline } from './offline.ts'
import { watchPanel } from './panel.ts'
import { watchPractising } from './practising.ts'
import { watchPrinting } from './printing.ts'
import { watchSettings } from './remember.ts'
import { watchSheets } from './sheets.ts'
import { watchStand } from './stand.ts'

document.documentElement.classList.add('scripted')
watchChanges()
watchMusic()
watchBars()
watchPanel()
watchSheets()
watchPrinting()
watchSound()
watchStand()
watchMine()
watchPractising()
start()
watchSettings()
watchOffline()
