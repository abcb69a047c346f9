/** A mutant is found by the first case that fails; nobody reads the smallest one. */
import fc from 'fast-check';

fc.configureGlobal({ ...fc.readConfigureGlobal(), endOnFailure: true });
