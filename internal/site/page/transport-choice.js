// Where questions are answered: 'http' by the server that sent this page, or
// 'wasm' in this browser. Whoever serves or writes the page replaces this file.
export const choice = 'http';
