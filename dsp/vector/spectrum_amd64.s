#include "textflag.h"

// func pairs(re, im *float64, x *float32, w *float64, n int)
TEXT ·pairs(SB), NOSPLIT, $0-40
	MOVQ re+0(FP), R8
	MOVQ im+8(FP), R9
	MOVQ x+16(FP), SI
	MOVQ w+24(FP), DX
	MOVQ n+32(FP), CX

pairs4:
	VCVTPS2PD (SI), Y0
	VCVTPS2PD 16(SI), Y1
	VMULPD (DX), Y0, Y0
	VMULPD 32(DX), Y1, Y1
	VUNPCKLPD Y1, Y0, Y2
	VUNPCKHPD Y1, Y0, Y3
	VPERMPD $0xD8, Y2, Y2
	VPERMPD $0xD8, Y3, Y3
	VMOVUPD Y2, (R8)
	VMOVUPD Y3, (R9)
	ADDQ $32, SI
	ADDQ $64, DX
	ADDQ $32, R8
	ADDQ $32, R9
	SUBQ $4, CX
	JNZ pairs4
	VZEROUPPER
	RET

DATA quarter<>+0(SB)/8, $0.25
GLOBL quarter<>(SB), RODATA|NOPTR, $8

// func powers(up, down, ar, ai, br, bi, wr, wi *float64, n int)
TEXT ·powers(SB), NOSPLIT, $0-72
	MOVQ up+0(FP), R8
	MOVQ down+8(FP), R9
	MOVQ ar+16(FP), SI
	MOVQ ai+24(FP), DI
	MOVQ br+32(FP), R10
	MOVQ bi+40(FP), R11
	MOVQ wr+48(FP), R12
	MOVQ wi+56(FP), R13
	MOVQ n+64(FP), CX
	VBROADCASTSD quarter<>(SB), Y15
	XORQ AX, AX // of what goes up
	LEAQ -32(CX*8), BX // of what goes down

powers4:
	VMOVUPD (SI)(AX*1), Y0
	VMOVUPD (DI)(AX*1), Y1
	VPERMPD $0x1B, (R10)(BX*1), Y2
	VPERMPD $0x1B, (R11)(BX*1), Y3
	VMOVUPD (R12)(AX*1), Y8
	VMOVUPD (R13)(AX*1), Y9
	VADDPD Y2, Y0, Y4 // er
	VSUBPD Y3, Y1, Y5 // ei
	VADDPD Y3, Y1, Y6 // or
	VSUBPD Y0, Y2, Y7 // oi
	VMULPD Y9, Y7, Y10
	VMULPD Y8, Y7, Y11
	VFMSUB231PD Y8, Y6, Y10 // tr
	VFMADD231PD Y9, Y6, Y11 // ti
	VADDPD Y10, Y4, Y0 // pr
	VADDPD Y11, Y5, Y1 // pi
	VSUBPD Y10, Y4, Y2 // qr
	VSUBPD Y11, Y5, Y3 // qi
	VMULPD Y1, Y1, Y1
	VMULPD Y3, Y3, Y3
	VFMADD231PD Y0, Y0, Y1
	VFMADD231PD Y2, Y2, Y3
	VMULPD Y15, Y1, Y1
	VMULPD Y15, Y3, Y3
	VPERMPD $0x1B, Y3, Y3
	VMOVUPD Y1, (R8)(AX*1)
	VMOVUPD Y3, (R9)(BX*1)
	ADDQ $32, AX
	SUBQ $32, BX
	JGE powers4
	VZEROUPPER
	RET

// func roots(dst, x *float64, n int)
TEXT ·roots(SB), NOSPLIT, $0-24
	MOVQ dst+0(FP), DI
	MOVQ x+8(FP), SI
	MOVQ n+16(FP), CX

roots4:
	VSQRTPD (SI), Y0
	VMOVUPD Y0, (DI)
	ADDQ $32, SI
	ADDQ $32, DI
	SUBQ $4, CX
	JNZ roots4
	VZEROUPPER
	RET

// func gains(dst, after, before *float64, least float64, n int)
TEXT ·gains(SB), NOSPLIT, $0-40
	MOVQ dst+0(FP), DI
	MOVQ after+8(FP), SI
	MOVQ before+16(FP), DX
	VBROADCASTSD least+24(FP), Y15
	MOVQ n+32(FP), CX

gains4:
	VMOVUPD (SI), Y0
	VSUBPD (DX), Y0, Y0
	VCMPPD $0x1E, Y15, Y0, Y1 // greater
	VANDPD Y1, Y0, Y0
	VSQRTPD Y0, Y0
	VSQRTPD Y0, Y0
	VMOVUPD Y0, (DI)
	ADDQ $32, SI
	ADDQ $32, DX
	ADDQ $32, DI
	SUBQ $4, CX
	JNZ gains4
	VZEROUPPER
	RET
