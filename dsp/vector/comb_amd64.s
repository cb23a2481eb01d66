#include "textflag.h"

// func comb(y, x *float64, offsets *int, shares *float64, k int, start float64, n int)
TEXT ·comb(SB), NOSPLIT, $0-56
	MOVQ y+0(FP), DI
	MOVQ x+8(FP), SI
	MOVQ offsets+16(FP), R8
	MOVQ shares+24(FP), R9
	MOVQ k+32(FP), R10
	VBROADCASTSD start+40(FP), Y15
	MOVQ n+48(FP), CX

	// Sixteen numbers at a time, then four.
	SUBQ $16, CX
	JLT fours

sixteen:
	VMOVAPD Y15, Y0
	VMOVAPD Y15, Y1
	VMOVAPD Y15, Y2
	VMOVAPD Y15, Y3
	XORQ AX, AX

share16:
	MOVQ (R8)(AX*8), DX
	VBROADCASTSD (R9)(AX*8), Y4
	LEAQ (SI)(DX*8), DX
	VFMADD231PD (DX), Y4, Y0
	VFMADD231PD 32(DX), Y4, Y1
	VFMADD231PD 64(DX), Y4, Y2
	VFMADD231PD 96(DX), Y4, Y3
	INCQ AX
	CMPQ AX, R10
	JLT share16
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	VMOVUPD Y2, 64(DI)
	VMOVUPD Y3, 96(DI)
	ADDQ $128, SI
	ADDQ $128, DI
	SUBQ $16, CX
	JGE sixteen

fours:
	ADDQ $12, CX
	JLT combed

four:
	VMOVAPD Y15, Y0
	XORQ AX, AX

share4:
	MOVQ (R8)(AX*8), DX
	VBROADCASTSD (R9)(AX*8), Y4
	VFMADD231PD (SI)(DX*8), Y4, Y0
	INCQ AX
	CMPQ AX, R10
	JLT share4
	VMOVUPD Y0, (DI)
	ADDQ $32, SI
	ADDQ $32, DI
	SUBQ $4, CX
	JGE four

combed:
	VZEROUPPER
	RET
