//go:build openblas

package main

/*
#cgo LDFLAGS: -lopenblas
#include <cblas.h>
void openblas_set_num_threads(int);
*/
import "C"

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
)

// The workers keep the processors busy as it is.
func init() { C.openblas_set_num_threads(1) }

// multiply is c = a b + beta c by OpenBLAS, some eight times as fast as gonum's
// own: worth having where a training takes an hour.
func multiply(ta, tb blas.Transpose, a, b blas32.General, beta float32, c blas32.General) {
	k, left, right := a.Cols, C.enum_CBLAS_TRANSPOSE(C.CblasNoTrans), C.enum_CBLAS_TRANSPOSE(C.CblasNoTrans)
	if ta == blas.Trans {
		k, left = a.Rows, C.CblasTrans
	}
	if tb == blas.Trans {
		right = C.CblasTrans
	}
	C.cblas_sgemm(C.CblasRowMajor, left, right, C.blasint(c.Rows), C.blasint(c.Cols), C.blasint(k), 1,
		(*C.float)(&a.Data[0]), C.blasint(a.Stride), (*C.float)(&b.Data[0]), C.blasint(b.Stride),
		C.float(beta), (*C.float)(&c.Data[0]), C.blasint(c.Stride))
}
