//go:build !purego

#include "textflag.h"

// func boxOf(triangles *byte, n int) (low, high [4]float32)
TEXT ·boxOf(SB), NOSPLIT, $0-48
	MOVQ   triangles+0(FP), SI
	MOVQ   n+8(FP), CX
	MOVUPS (SI), X0            // least and greatest of the first and third corners
	MOVAPS X0, X1
	MOVAPS X0, X2              // and of the second ones, so that neither waits for the other
	MOVAPS X0, X3

next:
	MOVUPS (SI), X4
	MOVUPS 12(SI), X5
	MOVUPS 24(SI), X6
	MINPS  X4, X0
	MAXPS  X4, X1
	MINPS  X5, X2
	MAXPS  X5, X3
	MINPS  X6, X0
	MAXPS  X6, X1
	ADDQ   $36, SI
	DECQ   CX
	JNZ    next
	MINPS  X2, X0
	MAXPS  X3, X1
	MOVUPS X0, low+16(FP)
	MOVUPS X1, high+32(FP)
	RET
