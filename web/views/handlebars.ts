/** What fills templates: of its package one part of many, which the build puts into this file. */
export { default } from 'handlebars'
