// Package class knows a teacher's folder of recordings: what is said of each,
// by a manifest or by its name, what came of each as a row, and how rows that
// were made apart are put together again.
//
// A row depends on its recording and on what is said of it, and on nothing
// else of the folder.
package class
