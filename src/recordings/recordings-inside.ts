/** The elements in the dialog of own recordings: a large part of the page, and few visits need it. */
import './live-input.ts';
import './recorder.ts';
import './take-form.ts';
