/** The page's script: what the form and the links do without it, it does without leaving the page. */
import { watchChanges } from './editing.ts'
import { watchSound } from './loadSound.ts'
import { watchMine } from './mine.ts'
import { start } from './moving.ts'
import { watchMusic } from './music.ts'
import { watchOffline } from './offline.ts'
import { watchPractising } from './practising.ts'
import { watchPrinting } from './printing.ts'
import { watchSettings } from './remember.ts'
import { watchStand } from './stand.ts'

document.documentElement.classList.add('scripted')
watchChanges()
watchMusic()
watchPrinting()
watchSound()
watchStand()
watchMine()
watchPractising()
start()
watchSettings()
watchOffline()
