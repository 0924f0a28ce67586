//go:build !purego

#include "textflag.h"

// func boxOf(triangles *byte, n int) (low, high [4]float32)
TEXT ·boxOf(SB), NOSPLIT, $0-48
	MOVQ   triangles+0(FP), SI
	MOVQ   n+8(FP), CX
	MOVUPS (SI), X0            // least and greatest of the first corners
	MOVAPS X0, X1
	MOVAPS X0, X2              // of the second, and of the third, so that none waits for another
	MOVAPS X0, X3
	MOVAPS X0, X4
	MOVAPS X0, X5

next:
	MOVUPS (SI), X6
	MOVUPS 12(SI), X7
	MOVUPS 24(SI), X8
	MINPS  X6, X0
	MAXPS  X6, X1
	MINPS  X7, X2
	MAXPS  X7, X3
	MINPS  X8, X4
	MAXPS  X8, X5
	ADDQ   $36, SI
	DECQ   CX
	JNZ    next
	MINPS  X2, X0
	MAXPS  X3, X1
	MINPS  X4, X0
	MAXPS  X5, X1
	MOVUPS X0, low+16(FP)
	MOVUPS X1, high+32(FP)
	RET

// func unpackRun(into, from *byte, n int, past uint32) (low, high [4]float32, beyond uint32)
TEXT ·unpackRun(SB), NOSPLIT, $0-68
	MOVQ    into+0(FP), DI
	MOVQ    from+8(FP), SI
	MOVQ    n+16(FP), CX
	MOVL    past+24(FP), AX
	MOVQ    AX, X15
	PSHUFD  $0, X15, X15
	PCMPEQL X14, X14
	PSRLL   $1, X14             // all bits but the sign
	MOVOU   X14, X13
	PSRLO   $4, X13             // and nothing of the fourth number
	PXOR    X12, X12            // what was beyond
	MOVUPS  12(SI), X0
	MOVAPS  X0, X1
	MOVAPS  X0, X2
	MOVAPS  X0, X3
	MOVAPS  X0, X4
	MOVAPS  X0, X5

next:
	MOVUPS 12(SI), X6
	MOVUPS 24(SI), X7
	MOVUPS 36(SI), X8
	MINPS  X6, X0
	MAXPS  X6, X1
	MINPS  X7, X2
	MAXPS  X7, X3
	MINPS  X8, X4
	MAXPS  X8, X5
	MOVUPS X6, (DI)
	MOVUPS X7, 12(DI)
	MOVQ   X8, 24(DI)
	PSHUFD $2, X8, X9
	MOVSS  X9, 32(DI)
	PAND   X14, X6
	PAND   X14, X7
	PAND   X13, X8
	PADDL  X15, X6
	PADDL  X15, X7
	PADDL  X15, X8
	POR    X6, X12
	POR    X7, X12
	POR    X8, X12
	ADDQ   $50, SI
	ADDQ   $36, DI
	DECQ   CX
	JNZ    next
	MINPS  X2, X0
	MAXPS  X3, X1
	MINPS  X4, X0
	MAXPS  X5, X1
	MOVUPS X0, low+32(FP)
	MOVUPS X1, high+48(FP)
	PSHUFD $0x4e, X12, X0
	POR    X0, X12
	PSHUFD $0xb1, X12, X0
	POR    X0, X12
	MOVSS  X12, beyond+64(FP)
	RET
