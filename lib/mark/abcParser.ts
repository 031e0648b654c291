/** The parser of ABC, of a large package the only thing used: the build puts it into this file. */
export { default } from 'abcjs/src/parse/abc_parse.js'
