/** Corrections that make drawn solos match the counts; written by test/rebuild/fitMixture.mjs, not by hand. */

// biome-ignore-all format: packed tables
/** Nats by kind (enclosure, chromatic, scale, arpeggio) and number of notes, 1 to 4. */
export const packedSoloKinds = '1.47,2.16,2.67,3.08 1.39,2.08,2.59,3 1.2,1.9,2.41,2.81 1.51,2.21,2.72,3.12'
/** Hundredths of a nat by the bucket of the interval before (rows) and the interval from -12 to 12 (columns). */
export const packedSoloBigrams = '0'
