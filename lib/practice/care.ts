/** What is to be said once wherever somebody is told to practise. */

/** The usual cautions (common practice among teachers of wind, string and keyboard players). */
export const careWords =
  'Warm up, start slowly, and take the pauses: they belong to the work. Stop when a lip, hand, arm, neck or back hurts or tires, and rest; a day left out is never made up for. What your teacher says goes before what stands here. What hurts for more than a few days is for a doctor.'
