/**
 * Progressions labelled by hand from theory, chord by chord: local key, function, scale. The classes are those that
 * harmony books treat (Levine, *The Jazz Theory Book*, 1995; Nettles and Graf, *The Chord Scale Theory and Jazz Harmony*, 1997;
 * Hutchinson, *Music Theory for the 21st-Century Classroom*); the progressions are common property or made up. Where teachers
 * differ the label follows the conventions in the docstring of readHarmony.
 */
export interface Labelled {
  readonly name: string
  /** The key the chart states; left out where the tune must be heard. */
  readonly stated?: string
  readonly home: string
  /** Bars between `|`, chords between `;`, each as `symbol key function scale`, the key short: `Ebm`. */
  readonly bars: string
}

export const labelledProgressions: readonly Labelled[] = [
  { name: 'major ii–V–I', home: 'C', bars: 'Dm7 C ii dorian | G7 C V mixolydian | Cmaj7 C I major | Cmaj7 C I major' },
  {
    name: 'minor ii–V–i',
    home: 'Cm',
    bars: 'Dm7b5 Cm ii locrian | G7 Cm V phrygian dominant | Cm6 Cm i melodic minor | Cm6 Cm i melodic minor',
  },
  {
    name: 'minor ii–V that lands on major',
    home: 'C',
    bars: 'Cmaj7 C I major | Am7 C vi aeolian | Dm7b5 Cm ii locrian ; G7(b9) Cm V phrygian dominant | Cmaj7 C I major',
  },
  {
    name: 'turnaround with a secondary dominant',
    home: 'C',
    bars: 'Cmaj7 C I major ; A7 C V/ii phrygian dominant | Dm7 C ii dorian ; G7 C V mixolydian',
  },
  {
    name: 'turnaround I vi ii V',
    home: 'Bb',
    bars: 'Bbmaj7 Bb I major ; Gm7 Bb vi aeolian | Cm7 Bb ii dorian ; F7 Bb V mixolydian',
  },
  {
    name: 'iii as the ii of ii',
    stated: 'Eb',
    home: 'Eb',
    bars: 'Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Gm7 Fm ii dorian ; C7 Fm V phrygian dominant | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major',
  },
  {
    name: 'secondary dominants round the circle',
    home: 'Bb',
    bars: 'Bb6 Bb I major | D7 Bb V/vi mixolydian | G7 Bb V/ii mixolydian | C7 Bb V/V mixolydian | F7 Bb V mixolydian | Bb6 Bb I major',
  },
  {
    name: 'secondary dominants to minor chords',
    home: 'C',
    bars: 'C6 C I major | E7 C V/vi phrygian dominant | Am7 C vi aeolian | A7 C V/ii phrygian dominant | Dm7 C ii dorian | G7 C V mixolydian | C6 C I major',
  },
  {
    name: 'ii–V into the subdominant and a minor subdominant home',
    home: 'Eb',
    bars: 'Ebmaj7 Eb I major | Bbm7 Ab ii dorian ; Eb7 Ab V mixolydian | Abmaj7 Ab I major | Abm7 Eb iv dorian ; Db7 Eb bVII7 lydian dominant | Ebmaj7 Eb I major',
  },
  {
    name: 'V of IV without its ii',
    home: 'C',
    bars: 'Cmaj7 C I major | C7 C V/IV mixolydian | Fmaj7 C IV lydian | Fm6 C iv melodic minor | Cmaj7 C I major',
  },
  {
    name: 'tritone substitute in a ii–V–I',
    home: 'C',
    bars: 'Dm7 C ii dorian | Db7 C subV lydian dominant | Cmaj7 C I major | Cmaj7 C I major',
  },
  {
    name: 'substitutes all the way down',
    home: 'F',
    bars: 'Fmaj7 F I major ; Ab7 F subV/ii lydian dominant | G7 F V/V lydian dominant ; Gb7 F subV lydian dominant | Fmaj7 F I major',
  },
  {
    name: 'backdoor cadence',
    home: 'C',
    bars: 'Cmaj7 C I major | Cmaj7 C I major | Fm7 C iv dorian | Bb7 C bVII7 lydian dominant | Cmaj7 C I major | Cmaj7 C I major',
  },
  {
    name: 'diminished chords passing up',
    home: 'C',
    bars: 'Cmaj7 C I major ; C#dim7 C #i° ultralocrian | Dm7 C ii dorian ; D#dim7 C #ii° ultralocrian | Em7 C iii phrygian ; Am7 C vi aeolian | Dm7 C ii dorian ; G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'diminished chord passing down',
    home: 'C',
    bars: 'Em7 C iii phrygian | Ebdim7 C biii° whole-half diminished | Dm7 C ii dorian | G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'raised fourth diminished',
    home: 'F',
    bars: 'Fmaj7 F I major | F7 F V/IV mixolydian | Bbmaj7 F IV lydian | Bdim7 F #iv° whole-half diminished | F6 F I major | C7 F V mixolydian',
  },
  {
    name: 'twelve-bar blues',
    home: 'F',
    bars: 'F7 F I7 mixolydian | Bb7 F IV7 mixolydian | F7 F I7 mixolydian | F7 F I7 mixolydian | Bb7 F IV7 mixolydian | Bb7 F IV7 mixolydian | F7 F I7 mixolydian | F7 F I7 mixolydian | C7 F V mixolydian | Bb7 F IV7 mixolydian | F7 F I7 mixolydian | C7 F V mixolydian',
  },
  {
    name: 'blues with a ii–V and a raised fourth',
    home: 'Bb',
    bars: 'Bb7 Bb I7 mixolydian | Eb7 Bb IV7 mixolydian | Bb7 Bb I7 mixolydian | Bb7 Bb I7 mixolydian | Eb7 Bb IV7 mixolydian | Edim7 Bb #iv° whole-half diminished | Bb7 Bb I7 mixolydian | G7 Bb V/ii phrygian dominant | Cm7 Bb ii dorian | F7 Bb V mixolydian | Bb7 Bb I7 mixolydian ; G7 Bb V/ii phrygian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian',
  },
  {
    name: 'minor blues',
    home: 'Cm',
    bars: 'Cm7 Cm i aeolian | Cm7 Cm i aeolian | Cm7 Cm i aeolian | Cm7 Cm i aeolian | Fm7 Cm iv dorian | Fm7 Cm iv dorian | Cm7 Cm i aeolian | Cm7 Cm i aeolian | Ab7 Cm subV/V lydian dominant | G7 Cm V phrygian dominant | Cm7 Cm i aeolian | G7 Cm V phrygian dominant',
  },
  {
    name: 'major-third cycle',
    home: 'B',
    bars: 'Bmaj7 B I major ; D7 G V mixolydian | Gmaj7 G I major ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major | F#7 B V mixolydian | Bmaj7 B I major',
  },
  {
    name: 'major-third cycle by ii–Vs',
    stated: 'C',
    home: 'C',
    bars: 'Cmaj7 C I major | Bbm7 Ab ii dorian ; Eb7 Ab V mixolydian | Abmaj7 Ab I major | F#m7 E ii dorian ; B7 E V mixolydian | Emaj7 E I major | Dm7 C ii dorian ; G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'modal stretches',
    home: 'Dm',
    bars: 'Dm7 Dm i dorian | Dm7 Dm i dorian | Dm7 Dm i dorian | Dm7 Dm i dorian | Ebm7 Ebm i dorian | Ebm7 Ebm i dorian | Ebm7 Ebm i dorian | Ebm7 Ebm i dorian | Dm7 Dm i dorian | Dm7 Dm i dorian | Dm7 Dm i dorian | Dm7 Dm i dorian',
  },
  {
    name: 'modulation in mid-phrase by falling tones',
    home: 'C',
    bars: 'Cmaj7 C I major | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Bbmaj7 Bb I major | Bbm7 Ab ii dorian ; Eb7 Ab V mixolydian | Abmaj7 Ab I major | Dm7b5 Cm ii locrian ; G7 Cm V phrygian dominant | Cmaj7 C I major',
  },
  {
    name: 'relative major and minor',
    home: 'Gm',
    bars: 'Cm7 Bb ii dorian | F7 Bb V mixolydian | Bbmaj7 Bb I major | Ebmaj7 Bb IV lydian | Am7b5 Gm ii locrian | D7 Gm V phrygian dominant | Gm6 Gm i melodic minor | Gm6 Gm i melodic minor',
  },
  {
    name: 'minor line with a falling seventh',
    home: 'Fm',
    bars: 'Fm Fm i aeolian | Fm(maj7) Fm i melodic minor | Fm7 Fm i aeolian | Fm6 Fm i melodic minor | Dbmaj7 Fm bVI lydian | Bbm7 Fm iv dorian | Gm7b5 Fm ii locrian | C7(b9) Fm V phrygian dominant',
  },
  {
    name: 'chromatic ii–Vs, none of which goes home',
    home: 'G',
    bars: 'Gmaj7 G I major | Bm7 A ii dorian ; E7 A V mixolydian | Bbm7 G subii/V dorian ; Eb7 G subV/V lydian dominant | Am7 G ii dorian ; D7 G V mixolydian | Gmaj7 G I major',
  },
  {
    name: 'borrowed major chords in a turnaround',
    home: 'C',
    bars: 'Cmaj7 C I major ; Ebmaj7 C bIII lydian | Abmaj7 C bVI lydian ; Dbmaj7 C bII lydian | Cmaj7 C I major',
  },
  {
    name: 'minor with a Neapolitan and a submediant',
    home: 'Am',
    bars: 'Am6 Am i melodic minor | Fmaj7 Am bVI lydian | Bm7b5 Am ii locrian | E7 Am V phrygian dominant | Am6 Am i melodic minor | Bbmaj7 Am bII lydian | E7(#5) Am V altered | Am6 Am i melodic minor',
  },
  {
    name: 'up a half step for the bridge',
    stated: 'Db',
    home: 'Db',
    bars: 'Dbmaj7 Db I major | Ebm7 Db ii dorian ; Ab7 Db V mixolydian | Dbmaj7 Db I major | Em7 D ii dorian ; A7 D V mixolydian | Dmaj7 D I major | Ebm7 Db ii dorian ; Ab7 Db V mixolydian | Dbmaj7 Db I major',
  },
  {
    name: 'an arrival that sets out again',
    home: 'Bb',
    bars: 'Am7b5 Gm ii locrian ; D7 Gm V phrygian dominant | Gm7 Fm ii dorian ; C7 Fm V phrygian dominant | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Bb6 Bb I major',
  },
  {
    name: 'suspended dominants',
    home: 'G',
    bars: 'Am7 G ii dorian | D7sus4 G V mixolydian ; D7 G V mixolydian | Gmaj7 G I major | Gmaj7 G I major',
  },
  {
    name: 'triads only',
    home: 'G',
    bars: 'G G I major | C G IV lydian | G G I major | D7 G V mixolydian | Em G vi aeolian | Am G ii dorian | D G V mixolydian | G G I major',
  },
  {
    name: 'eight bars with a iii–VI turnaround',
    home: 'Bb',
    bars: 'Bb6 Bb I major ; G7 Bb V/ii phrygian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Dm7 Cm ii dorian ; G7 Cm V phrygian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Eb6 Eb I major ; Edim7 Bb #iv° whole-half diminished | Bb6 Bb I major ; G7 Bb V/ii phrygian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian',
  },
  {
    name: 'minor tune with bridge',
    stated: 'Cm',
    home: 'Cm',
    bars: 'Cm7 Cm i aeolian | Cm7 Cm i aeolian | Fm7 Cm iv dorian | Fm7 Cm iv dorian | Dm7b5 Cm ii locrian | G7 Cm V phrygian dominant | Cm7 Cm i aeolian | Cm7 Cm i aeolian | Ebm7 Db ii dorian | Ab7 Db V mixolydian | Dbmaj7 Db I major | Dbmaj7 Db I major | Dm7b5 Cm ii locrian | G7 Cm V phrygian dominant | Cm7 Cm i aeolian | Dm7b5 Cm ii locrian ; G7 Cm V phrygian dominant',
  },
  {
    name: 'descending tonal centres',
    home: 'G',
    bars: 'Gmaj7 G I major | Gm7 F ii dorian ; C7 F V mixolydian | Fmaj7 F I major | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major | Am7b5 Gm ii locrian ; D7(b9) Gm V phrygian dominant | Gmaj7 G I major | Am7 G ii dorian ; D7 G V mixolydian',
  },
  {
    name: 'lydian chord on IV and minor iv',
    stated: 'F',
    home: 'F',
    bars: 'Fmaj7 F I major | A7(b9) F V/vi phrygian dominant | Dm7 F vi aeolian | Am7b5 Gm ii locrian ; D7 Gm V phrygian dominant | Gm7 F ii dorian | Bbm6 F iv melodic minor | Fmaj7 F I major | Gm7 F ii dorian ; C7 F V mixolydian',
  },
  {
    name: 'waltz with secondary dominants',
    home: 'Ab',
    bars: 'Fm7 Ab vi aeolian | Bbm7 Ab ii dorian | Eb7 Ab V mixolydian | Abmaj7 Ab I major | Dbmaj7 Ab IV lydian | Dm7 C ii dorian ; G7 C V mixolydian | Cmaj7 C I major | Cmaj7 C I major | Cm7 Ab iii phrygian | Fm7 Ab vi aeolian | Bbm7 Ab ii dorian | Eb7 Ab V mixolydian | Abmaj7 Ab I major',
  },
  {
    name: 'substitute for V of V',
    home: 'C',
    bars: 'Cmaj7 C I major | Ab7 C subV/V lydian dominant | G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'backdoor without its iv',
    home: 'G',
    bars: 'Gmaj7 G I major | F7 G bVII7 lydian dominant | Gmaj7 G I major | Am7 G ii dorian ; D7 G V mixolydian | Gmaj7 G I major',
  },
  {
    name: 'II7 held before its ii–V',
    home: 'C',
    bars: 'C6 C I major | C6 C I major | D7 C V/V mixolydian | D7 C V/V mixolydian | Dm7 C ii dorian | G7 C V mixolydian | C6 C I major | Dm7 C ii dorian ; G7 C V mixolydian',
  },
  {
    name: 'minor turnaround',
    home: 'Am',
    bars: 'Am6 Am i melodic minor ; F7 Am subV/V lydian dominant | Bm7b5 Am ii locrian ; E7(b9) Am V phrygian dominant | Am6 Am i melodic minor',
  },
  {
    name: 'minor to its relative and back',
    stated: 'Dm',
    home: 'Dm',
    bars: 'Dm7 Dm i aeolian | Gm7 F ii dorian ; C7 F V mixolydian | Fmaj7 F I major | Bbmaj7 F IV lydian | Em7b5 Dm ii locrian | A7 Dm V phrygian dominant | Dm6 Dm i melodic minor',
  },
  {
    name: 'diminished chord on the tonic',
    home: 'D',
    bars: 'Dmaj7 D I major | Ddim7 D i° whole-half diminished | Dmaj7 D I major | Em7 D ii dorian ; A7 D V mixolydian | Dmaj7 D I major',
  },
  {
    name: 'tensions written out',
    home: 'Eb',
    bars: 'Fm9 Eb ii dorian | Bb13(b9) Eb V half-whole diminished | Ebmaj9 Eb I major | Ab13(#11) Eb IV7 lydian dominant | Ebmaj9 Eb I major',
  },
  {
    name: 'altered dominant',
    home: 'C',
    bars: 'Dm9 C ii dorian | G7alt C V altered | Cmaj9 C I major | C69 C I major',
  },
  {
    name: 'dominant with a raised fifth',
    home: 'F',
    bars: 'Gm7 F ii dorian | C7(#5) F V whole tone | Fmaj7 F I major | Fmaj7 F I major',
  },
  {
    name: 'the same cadence minor, then major',
    home: 'D',
    bars: 'Em7b5 Dm ii locrian ; A7 Dm V phrygian dominant | Dm6 Dm i melodic minor | Em7 D ii dorian ; A7 D V mixolydian | Dmaj7 D I major',
  },
  {
    name: 'dorian vamp',
    home: 'Am',
    bars: 'Am7 Am i dorian | Bm7 Am ii dorian | Am7 Am i dorian | Bm7 Am ii dorian | Am7 Am i dorian | Bm7 Am ii dorian | Am7 Am i dorian | Am7 Am i dorian',
  },
  {
    name: 'lydian pairs',
    home: 'C',
    bars: 'Cmaj7 C I major | Cmaj7 C I major | Cmaj7 C I major | Cmaj7 C I major | Ebmaj7(#11) Eb I lydian | Ebmaj7(#11) Eb I lydian | Ebmaj7(#11) Eb I lydian | Ebmaj7(#11) Eb I lydian | Cmaj7 C I major | Cmaj7 C I major',
  },
  {
    name: 'chromatic passing chords down',
    home: 'Eb',
    bars: 'Ebmaj7 Eb I major ; Gbdim7 Eb biii° whole-half diminished | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Gm7 Eb iii phrygian ; Gbm7 Eb biii dorian | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major',
  },
  {
    name: 'II7, ii and a substitute',
    home: 'F',
    bars: 'Fmaj7 F I major | Fmaj7 F I major | G7 F V/V mixolydian | G7 F V/V mixolydian | Gm7 F ii dorian | Gb7 F subV lydian dominant | Fmaj7 F I major | Gb7 F subV lydian dominant',
  },
  {
    name: 'minor tune that visits its submediant major',
    stated: 'Em',
    home: 'Em',
    bars: 'Em6 Em i melodic minor | F#m7b5 Em ii locrian ; B7 Em V phrygian dominant | Em6 Em i melodic minor | Am7 Em iv dorian | Dm7 C ii dorian ; G7 C V mixolydian | Cmaj7 C I major | F#m7b5 Em ii locrian ; B7 Em V phrygian dominant | Em6 Em i melodic minor',
  },
  {
    name: 'four keys in a row',
    stated: 'F',
    home: 'F',
    bars: 'Fmaj7 F I major | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Ebmaj7 Eb I major | Am7 G ii dorian ; D7 G V mixolydian | Gmaj7 G I major | Gm7 F ii dorian ; C7 F V mixolydian | Fmaj7 F I major',
  },
  {
    name: 'two minor ii–Vs to minor chords',
    home: 'Dm',
    bars: 'Am7b5 Gm ii locrian ; D7 Gm V phrygian dominant | Gm7 Gm i aeolian | Em7b5 Dm ii locrian ; A7 Dm V phrygian dominant | Dm6 Dm i melodic minor',
  },
  {
    name: 'V of V in minor',
    home: 'Cm',
    bars: 'Cm6 Cm i melodic minor | D7 Cm V/V mixolydian | G7 Cm V phrygian dominant | Cm6 Cm i melodic minor',
  },
  {
    name: 'rising diminished chord to ii',
    home: 'Eb',
    bars: 'Ebmaj7 Eb I major | Edim7 Eb #i° ultralocrian | Fm7 Eb ii dorian | Bb7 Eb V mixolydian',
  },
  {
    name: 'rising diminished chord and a iii–VI',
    home: 'Bb',
    bars: 'Bbmaj7 Bb I major | Bdim7 Bb #i° ultralocrian | Cm7 Bb ii dorian | F7 Bb V mixolydian | Dm7 Cm ii dorian | G7 Cm V phrygian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Bbmaj7 Bb I major',
  },
  {
    name: 'ii of ii, half-diminished',
    home: 'G',
    bars: 'Gmaj7 G I major | Gmaj7 G I major | Bm7b5 Am ii locrian | E7 Am V phrygian dominant | Am7 G ii dorian | D7 G V mixolydian | Gmaj7 G I major',
  },
  {
    name: 'ii–V to vi',
    home: 'Ab',
    bars: 'Abmaj7 Ab I major | Dbmaj7 Ab IV lydian | Gm7b5 Fm ii locrian ; C7 Fm V phrygian dominant | Fm7 Fm i aeolian | Bbm7 Ab ii dorian ; Eb7 Ab V mixolydian | Abmaj7 Ab I major',
  },
  {
    name: 'minor tonic with iv and V',
    home: 'Dm',
    bars: 'Dm6 Dm i melodic minor | Dm6 Dm i melodic minor | Gm7 Dm iv dorian | A7 Dm V phrygian dominant | Dm6 Dm i melodic minor',
  },
  {
    name: 'dominants and a ii–V down to a substitute',
    home: 'C',
    bars: 'Cmaj7 C I major | B7 C V/iii phrygian dominant | Em7 Dm ii dorian | A7 Dm V phrygian dominant | Dm7 C ii dorian | Db7 C subV lydian dominant | Cmaj7 C I major',
  },
  {
    name: 'turnaround in a sharp key',
    home: 'E',
    bars: 'Emaj7 E I major | C#m7 E vi aeolian | F#m7 E ii dorian ; B7 E V mixolydian | Emaj7 E I major | G#m7 F#m ii dorian ; C#7 F#m V phrygian dominant | F#m7 E ii dorian ; B7 E V mixolydian',
  },
  {
    name: 'blues with ii–Vs',
    home: 'F',
    bars: 'F7 F I7 mixolydian | Bb7 F IV7 mixolydian | F7 F I7 mixolydian | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Bb7 F IV7 mixolydian | Bdim7 F #iv° whole-half diminished | F7 F I7 mixolydian | Am7b5 Gm ii locrian ; D7 Gm V phrygian dominant | Gm7 F ii dorian | C7 F V mixolydian | F7 F I7 mixolydian ; D7 F V/ii phrygian dominant | Gm7 F ii dorian ; C7 F V mixolydian',
  },
  {
    name: 'backdoor in the middle',
    home: 'Bb',
    bars: 'Bbmaj7 Bb I major | Ebm7 Bb iv dorian ; Ab7 Bb bVII7 lydian dominant | Bbmaj7 Bb I major | Bbmaj7 Bb I major',
  },
  {
    name: 'IV7 in a major tune',
    home: 'Db',
    bars: 'Dbmaj7 Db I major | Gb7 Db IV7 mixolydian | Dbmaj7 Db I major | Ab7 Db V mixolydian | Dbmaj7 Db I major',
  },
  {
    name: 'ii–Vs to far keys',
    home: 'C',
    bars: 'Cmaj7 C I major | Cmaj7 C I major | Abm7 Gb ii dorian ; Db7 Gb V mixolydian | Gbmaj7 Gb I major | Em7 D ii dorian ; A7 D V mixolydian | Dmaj7 D I major | Dm7 C ii dorian ; G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'minor tune in two halves',
    home: 'Gm',
    bars: 'Gm7 Gm i aeolian | Gm7 Gm i aeolian | Cm7 Gm iv dorian | Cm7 Gm iv dorian | Am7b5 Gm ii locrian | D7(b9) Gm V phrygian dominant | Gm6 Gm i melodic minor | Gm6 Gm i melodic minor',
  },
  {
    name: 'a ii–V to iii, which is ii again',
    home: 'Eb',
    bars: 'Ebmaj7 Eb I major | Cm7 Eb vi aeolian | Am7b5 Gm ii locrian ; D7 Gm V phrygian dominant | Gm7 Fm ii dorian | C7 Fm V phrygian dominant | Fm7 Eb ii dorian | Bb7 Eb V mixolydian | Ebmaj7 Eb I major',
  },
  {
    name: 'a ii–V to iii',
    home: 'C',
    bars: 'Cmaj7 C I major | F#m7b5 Em ii locrian ; B7 Em V phrygian dominant | Em7 Em i aeolian | Am7 C vi aeolian | Dm7 C ii dorian | G7 C V mixolydian | Cmaj7 C I major',
  },
  {
    name: 'minor iv and a passing chord',
    home: 'F',
    bars: 'Fmaj7 F I major | Bbmaj7 F IV lydian | Bbm6 F iv melodic minor | Am7 F iii phrygian ; Abdim7 F biii° whole-half diminished | Gm7 F ii dorian | C7 F V mixolydian | Fmaj7 F I major',
  },
  {
    name: 'mixolydian pair',
    home: 'A',
    bars: 'Amaj7 A I major | Gmaj7 A bVII lydian | Amaj7 A I major | Gmaj7 A bVII lydian',
  },
  {
    name: 'minor with a raised fifth on V',
    home: 'Bm',
    bars: 'Bm7 Bm i aeolian | Gmaj7 Bm bVI lydian | C#m7b5 Bm ii locrian | F#7(#5) Bm V altered | Bm7 Bm i aeolian',
  },
  {
    name: 'turnaround by iii in D',
    home: 'D',
    bars: 'Dmaj7 D I major | Bm7 D vi aeolian | Em7 D ii dorian | A7 D V mixolydian | F#m7 Em ii dorian ; B7 Em V phrygian dominant | Em7 D ii dorian ; A7 D V mixolydian | D6 D I major',
  },
  {
    name: 'minor tune to its relative and back',
    home: 'Fm',
    bars: 'Fm6 Fm i melodic minor | Gm7b5 Fm ii locrian ; C7(b9) Fm V phrygian dominant | Fm6 Fm i melodic minor | Bbm7 Ab ii dorian ; Eb7 Ab V mixolydian | Abmaj7 Ab I major | Dbmaj7 Ab IV lydian | Gm7b5 Fm ii locrian ; C7 Fm V phrygian dominant | Fm6 Fm i melodic minor',
  },
  {
    name: 'rising bass and a minor iv',
    home: 'G',
    bars: 'G6 G I major ; G#dim7 G #i° ultralocrian | Am7 G ii dorian ; D7 G V mixolydian | G6 G I major ; G7 G V/IV mixolydian | C6 G IV lydian ; Cm6 G iv melodic minor | G6 G I major | D7 G V mixolydian',
  },
  {
    name: 'blues with two ii–Vs',
    home: 'Bb',
    bars: 'Bb7 Bb I7 mixolydian | Eb7 Bb IV7 mixolydian | Bb7 Bb I7 mixolydian | Fm7 Eb ii dorian ; Bb7 Eb V mixolydian | Eb7 Bb IV7 mixolydian | Edim7 Bb #iv° whole-half diminished | Bb7 Bb I7 mixolydian | Dm7b5 Cm ii locrian ; G7 Cm V phrygian dominant | Cm7 Bb ii dorian | F7 Bb V mixolydian | Bb7 Bb I7 mixolydian | F7 Bb V mixolydian',
  },
  {
    name: 'major-third cycle from A flat',
    home: 'Ab',
    bars: 'Abmaj7 Ab I major ; B7 E V mixolydian | Emaj7 E I major ; G7 C V mixolydian | Cmaj7 C I major ; Eb7 Ab V mixolydian | Abmaj7 Ab I major',
  },
  {
    name: 'modal stretches a half step apart',
    home: 'Em',
    bars: 'Em7 Em i dorian | Em7 Em i dorian | Em7 Em i dorian | Em7 Em i dorian | Fm7 Fm i dorian | Fm7 Fm i dorian | Fm7 Fm i dorian | Fm7 Fm i dorian | Em7 Em i dorian | Em7 Em i dorian | Em7 Em i dorian | Em7 Em i dorian',
  },
  {
    name: 'substitute beside its tonic',
    home: 'F',
    bars: 'Fmaj7 F I major | Gb7 F subV lydian dominant | Fmaj7 F I major | Em7 D ii dorian ; A7 D V mixolydian | Dmaj7 D I major | Gm7 F ii dorian ; C7 F V mixolydian | Fmaj7 F I major',
  },
  {
    name: 'minor with an altered dominant',
    home: 'Am',
    bars: 'Am7 Am i aeolian | Dm7 Am iv dorian | Am7 Am i aeolian | Fmaj7 Am bVI lydian | Bm7b5 Am ii locrian | E7alt Am V altered | Am7 Am i aeolian | E7 Am V phrygian dominant',
  },
  {
    name: 'dominants to minor in a sharp key',
    home: 'A',
    bars: 'Amaj7 A I major | C#7 A V/vi phrygian dominant | F#m7 A vi aeolian | F#7 A V/ii phrygian dominant | Bm7 A ii dorian | E7 A V mixolydian | Amaj7 A I major | Bm7 A ii dorian ; E7 A V mixolydian',
  },
  {
    name: 'flat key, its relative minor and back',
    home: 'Db',
    bars: 'Ebm7 Db ii dorian | Ab7 Db V mixolydian | Dbmaj7 Db I major | Gbmaj7 Db IV lydian | Cm7b5 Bbm ii locrian | F7 Bbm V phrygian dominant | Bbm7 Bbm i aeolian | Ebm7 Db ii dorian ; Ab7 Db V mixolydian | Dbmaj7 Db I major',
  },
  {
    name: 'a ii–V a tritone away, to I',
    home: 'C',
    bars: 'Cmaj7 C I major | Cmaj7 C I major | Abm7 C subii dorian | Db7 C subV lydian dominant | Cmaj7 C I major | Cmaj7 C I major',
  },
  {
    name: 'a ii–V a half step above the ii–V it leads to',
    home: 'F',
    bars: 'Fmaj7 F I major | Abm7 F subii/V dorian ; Db7 F subV/V lydian dominant | Gm7 F ii dorian ; C7 F V mixolydian | Fmaj7 F I major',
  },
  {
    name: 'a ii–V a half step above ii',
    home: 'Bb',
    bars: 'Bbmaj7 Bb I major | Abm7 Bb subii/ii dorian ; Db7 Bb subV/ii lydian dominant | Cm7 Bb ii dorian ; F7 Bb V mixolydian | Bbmaj7 Bb I major',
  },
  {
    name: 'a substitute for V of ii in minor',
    home: 'Cm',
    bars: 'Cm6 Cm i melodic minor | Eb7 Cm subV/ii lydian dominant | Dm7b5 Cm ii locrian | G7 Cm V phrygian dominant | Cm6 Cm i melodic minor | Cm6 Cm i melodic minor',
  },
  {
    name: 'dorian vamp on i and IV7',
    home: 'Dm',
    bars: 'Dm7 Dm i dorian | G7 Dm IV7 mixolydian | Dm7 Dm i dorian | G7 Dm IV7 mixolydian | Dm7 Dm i dorian | G7 Dm IV7 mixolydian',
  },
  {
    name: 'a sharp ninth on the way to minor',
    home: 'Am',
    bars: 'Am6 Am i melodic minor | Bm7b5 Am ii locrian | E7(#9) Am V phrygian dominant with sharp 9 | Am6 Am i melodic minor',
  },
  {
    name: 'a sharp ninth on the way to major',
    home: 'A',
    bars: 'Amaj7 A I major | Bm7 A ii dorian | E7(#9) A V half-whole diminished | Amaj7 A I major',
  },
  {
    name: 'suspended V on the way to minor',
    home: 'Dm',
    bars: 'Dm6 Dm i melodic minor | Gm7 Dm iv dorian | A7sus4 Dm V phrygian | Dm6 Dm i melodic minor',
  },
]
