/**
 * Flavoured primitives: a string or number that carries the name of what it counts or identifies.
 * Plain literals are accepted where a flavour is wanted, but two different flavours never mix;
 * that keeps files, tests and the database edge free of casts and still catches swapped ids.
 */
export type Flavour<T, Name extends string> = T & { readonly flavour?: Name };
