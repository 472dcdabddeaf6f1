/** Characters that no printed bib or code has and that make a table unreadable: controls, line and bidi marks. */
// eslint-disable-next-line no-control-regex -- these are the characters to refuse
export const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/;
