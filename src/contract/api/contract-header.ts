/** The header in which a server names what its contract was built from; left out by a server that does not know. */
export const CONTRACT_HEADER = "X-Contract";
