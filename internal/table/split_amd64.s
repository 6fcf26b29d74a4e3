#include "textflag.h"

// func splitBlocks(values *float32, b0, b1, b2, b3 *byte, blocks int, extremes *[12]float32)
//
// A 16 by 4 transpose of bytes is four rounds of interleaving: with value v in
// register v/4, the bytes of 0 and 8 come side by side, then those of 0, 4, 8 and
// 12, then those of all even ones, then all.
//
// MINPS and MAXPS give their second operand, here what was found so far, where
// either is a NaN: so NaNs are left out.
TEXT ·splitBlocks(SB), NOSPLIT, $0-56
	MOVQ   values+0(FP), SI
	MOVQ   b0+8(FP), R8
	MOVQ   b1+16(FP), R9
	MOVQ   b2+24(FP), R10
	MOVQ   b3+32(FP), R11
	MOVQ   blocks+40(FP), CX
	MOVQ   extremes+48(FP), DI
	MOVUPS 0(DI), X8
	MOVUPS 16(DI), X9
	MOVUPS 32(DI), X10
	XORQ   AX, AX

loop:
	MOVUPS 0(SI), X0
	MOVUPS 16(SI), X1
	MOVUPS 32(SI), X2
	MOVUPS 48(SI), X3
	ADDQ   $64, SI

	MOVAPS X0, X11
	MINPS  X8, X11
	MOVAPS X11, X8
	MOVAPS X0, X11
	MAXPS  X9, X11
	MOVAPS X11, X9
	MOVAPS X0, X11
	CMPPS  X0, X11, $3
	ORPS   X11, X10
	MOVAPS X1, X11
	MINPS  X8, X11
	MOVAPS X11, X8
	MOVAPS X1, X11
	MAXPS  X9, X11
	MOVAPS X11, X9
	MOVAPS X1, X11
	CMPPS  X1, X11, $3
	ORPS   X11, X10
	MOVAPS X2, X11
	MINPS  X8, X11
	MOVAPS X11, X8
	MOVAPS X2, X11
	MAXPS  X9, X11
	MOVAPS X11, X9
	MOVAPS X2, X11
	CMPPS  X2, X11, $3
	ORPS   X11, X10
	MOVAPS X3, X11
	MINPS  X8, X11
	MOVAPS X11, X8
	MOVAPS X3, X11
	MAXPS  X9, X11
	MOVAPS X11, X9
	MOVAPS X3, X11
	CMPPS  X3, X11, $3
	ORPS   X11, X10

	MOVO      X0, X4
	PUNPCKLBW X2, X0
	PUNPCKHBW X2, X4
	MOVO      X1, X5
	PUNPCKLBW X3, X1
	PUNPCKHBW X3, X5

	MOVO      X0, X2
	PUNPCKLBW X1, X0
	PUNPCKHBW X1, X2
	MOVO      X4, X3
	PUNPCKLBW X5, X4
	PUNPCKHBW X5, X3

	MOVO      X0, X1
	PUNPCKLBW X4, X0
	PUNPCKHBW X4, X1
	MOVO      X2, X5
	PUNPCKLBW X3, X2
	PUNPCKHBW X3, X5

	MOVO      X0, X4
	PUNPCKLBW X2, X0
	PUNPCKHBW X2, X4
	MOVO      X1, X3
	PUNPCKLBW X5, X1
	PUNPCKHBW X5, X3

	MOVUPS X0, (R8)(AX*1)
	MOVUPS X4, (R9)(AX*1)
	MOVUPS X1, (R10)(AX*1)
	MOVUPS X3, (R11)(AX*1)
	ADDQ   $16, AX
	DECQ   CX
	JNZ    loop

	MOVUPS X8, 0(DI)
	MOVUPS X9, 16(DI)
	MOVUPS X10, 32(DI)
	RET
