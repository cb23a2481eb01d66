#include "textflag.h"

// func within(dst, src *float32, n int, ref, low, high, by, unit float32)
TEXT ·within(SB), NOSPLIT, $0-44
	MOVQ dst+0(FP), DI
	MOVQ src+8(FP), SI
	MOVQ n+16(FP), CX
	VBROADCASTSS ref+24(FP), Y11
	VBROADCASTSS low+28(FP), Y12
	VBROADCASTSS high+32(FP), Y13
	VBROADCASTSS by+36(FP), Y14
	VBROADCASTSS unit+40(FP), Y15

within8:
	VMOVUPS (SI), Y0
	VSUBPS Y11, Y0, Y0
	VMAXPS Y12, Y0, Y0
	VMINPS Y13, Y0, Y0
	VADDPS Y14, Y0, Y0
	VDIVPS Y15, Y0, Y0
	VMOVUPS Y0, (DI)
	ADDQ $32, SI
	ADDQ $32, DI
	SUBQ $8, CX
	JNZ within8
	VZEROUPPER
	RET
