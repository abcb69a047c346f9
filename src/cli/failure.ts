/** Something the person at the command line can put right: told in a sentence, exit code 2. */
export class Failure extends Error {}
