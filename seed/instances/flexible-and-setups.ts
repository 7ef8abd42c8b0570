/**
 * Small published flexible job shop and job shop with setups as text in the formats of src/core/problem/formats.
 * Sources: mk01: P. Brandimarte, Routing and scheduling in a flexible job shop by tabu search, Annals of Operations Research 41,
 * 1993; t2-ps01: P. Brucker, O. Thiele, A branch and bound method for the general-shop problem with sequence dependent
 * setup-times, OR Spektrum 18, 1996 (la01 with job i in family i mod 5, setup 10((b - a) mod 5), first setup 10(family + 1)).
 */

/** Optimum 40 (M. Mastrolilli, L.M. Gambardella, Effective neighbourhood functions for the flexible job shop problem, J. Scheduling 3, 2000: upper bound; proven by later constraint solvers). */
export const MK01 = `
10 6
6 2 0 5 2 4 3 4 3 2 5 1 1 2 2 4 5 2 3 5 5 1 6 0 1 1 2 1 3 5 6 2 6 3 3
5 1 1 6 1 2 1 1 0 2 2 1 6 3 6 3 5 5 1 6 0 1
5 1 1 6 2 2 4 5 2 3 5 5 1 6 0 1 3 2 4 1 6 5 6 2 0 1 4 5
5 3 5 5 1 6 0 1 1 1 6 1 2 1 3 4 3 2 5 1 1 2 2 4 5 2
6 3 4 3 2 5 1 1 3 5 5 1 6 0 1 1 1 6 2 0 5 2 4 2 1 6 3 6 3 2 4 1 6 5 6
6 2 2 4 5 2 1 0 2 3 2 4 1 6 5 6 1 1 6 3 5 5 1 6 0 1 2 0 3 3 2
5 1 5 1 2 0 3 3 2 3 2 4 1 6 5 6 3 1 6 4 1 0 6 1 2 1
5 2 2 4 5 2 3 2 4 1 6 5 6 3 5 5 1 6 0 1 1 1 6 2 1 6 3 6
6 1 5 1 2 0 1 4 5 3 5 6 2 6 3 3 1 0 2 3 2 4 1 6 5 6 2 1 6 3 6
6 2 2 4 5 2 3 2 4 1 6 5 6 3 4 3 2 5 1 1 1 5 1 2 1 6 3 6 2 0 3 3 2
`;

/** Optimum 798 (Brucker and Thiele, 1996). */
export const T2_PS01 = `
10 5 5
1 21 0 0 53 0 4 95 0 3 55 0 2 34 0
0 21 1 3 52 1 4 16 1 2 26 1 1 71 1
3 39 2 4 98 2 1 42 2 2 31 2 0 12 2
1 77 3 0 55 3 4 79 3 2 66 3 3 77 3
0 83 4 3 34 4 2 64 4 1 19 4 4 37 4
1 54 0 2 43 0 4 79 0 0 92 0 3 62 0
3 69 1 4 77 1 1 87 1 2 87 1 0 93 1
2 38 2 0 60 2 1 41 2 3 24 2 4 83 2
3 17 3 1 49 3 4 25 3 0 44 3 2 98 3
4 77 4 3 79 4 2 43 4 1 75 4 0 96 4
10 20 30 40 50
0 10 20 30 40
40 0 10 20 30
30 40 0 10 20
20 30 40 0 10
10 20 30 40 0
`;
