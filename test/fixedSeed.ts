/** Properties draw from one seed, so that a run can be repeated; `SEED=7 npm test` draws others. */
import fc from 'fast-check'

fc.configureGlobal({ seed: Number(process.env.SEED ?? 20_261_125) })
