// Editor features of machine and vocabulary files: a bundle of its own, which the server in Node loads when such a file
// is asked about for the first time.

export { makeJsonFiles } from './lsp/jsonFiles.ts';
