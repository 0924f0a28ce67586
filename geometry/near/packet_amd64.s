//go:build !purego

#include "textflag.h"

// Offsets into packet.
#define GX 0
#define GY 32
#define GZ 64
#define PX 96
#define PY 128
#define PZ 160
#define LIMIT 192
#define MX 224
#define MY 256
#define MZ 288
#define TRIANGLES 320
#define ORIGIN 352
#define RADIUS 364
#define LOW 368
#define HIGH 380
#define SCALE 392
#define GRAIN 400
#define CORNER 408

DATA third<>+0(SB)/4, $0x3eaaaaab // 1/3
GLOBL third<>(SB), RODATA|NOPTR, $4
DATA least<>+0(SB)/8, $0xc1c0000000000000 // least and most of frame.go
GLOBL least<>(SB), RODATA|NOPTR, $8
DATA most<>+0(SB)/8, $0x41cfffffff800000
GLOBL most<>(SB), RODATA|NOPTR, $8
DATA one<>+0(SB)/4, $1.0
GLOBL one<>(SB), RODATA|NOPTR, $4
DATA magnitude<>+0(SB)/4, $0x7fffffff
GLOBL magnitude<>(SB), RODATA|NOPTR, $4
DATA thinnest<>+0(SB)/4, $0x179abe15 // 1e-24
GLOBL thinnest<>(SB), RODATA|NOPTR, $4
DATA doubt<>+0(SB)/4, $0x36000000 // 2^-19
GLOBL doubt<>(SB), RODATA|NOPTR, $4

// along leaves in Y2 the gaps along one axis in grains between the places and a box with its low and high sides at low
// and high from BX. Y15 is zero; it uses Y3 and Y4.
#define along(places, low, high) \
	VPBROADCASTD low(BX), Y2        \
	VPBROADCASTD high(BX), Y3       \
	VMOVDQU      places(SI), Y4     \
	VPSUBD       Y4, Y2, Y2         \
	VPSUBD       Y3, Y4, Y3         \
	VPMAXSD      Y2, Y3, Y2         \
	VPMAXSD      Y15, Y2, Y2        \
	VCVTDQ2PS    Y2, Y2

// func pairNearAVX2(p *packet, l, r *node) (left, right, rightFirst uint32)
TEXT ·pairNearAVX2(SB), NOSPLIT, $0-36
	MOVQ         p+0(FP), SI
	MOVQ         l+8(FP), BX
	VPXOR        Y15, Y15, Y15
	VBROADCASTSS SCALE(SI), Y6
	VBROADCASTSS one<>(SB), Y5
	VFMADD132PS  LIMIT(SI), Y5, Y6 // squared grains, and one more for what was cut off
	along(GX, 0, 12)
	VMULPS       Y2, Y2, Y0
	along(GY, 4, 16)
	VFMADD231PS  Y2, Y2, Y0
	along(GZ, 8, 20)
	VFMADD231PS  Y2, Y2, Y0
	MOVQ         r+16(FP), BX
	along(GX, 0, 12)
	VMULPS       Y2, Y2, Y1
	along(GY, 4, 16)
	VFMADD231PS  Y2, Y2, Y1
	along(GZ, 8, 20)
	VFMADD231PS  Y2, Y2, Y1
	VCMPPS       $0x1a, Y6, Y0, Y2 // not above, or no number
	VCMPPS       $0x1a, Y6, Y1, Y3
	VCMPPS       $0x11, Y0, Y1, Y4 // right below left
	VMOVMSKPS    Y2, AX
	VMOVMSKPS    Y3, CX
	VMOVMSKPS    Y4, DX
	VZEROUPPER
	MOVL         AX, left+24(FP)
	MOVL         CX, right+28(FP)
	MOVL         DX, rightFirst+32(FP)
	RET

// outside leaves in acc how far the places are outside of plane k.
#define outside(k, acc) \
	VBROADCASTSS (4*k+48)(SP), acc       \
	VBROADCASTSS (4*k+0)(SP), Y4         \
	VFMSUB231PS  PX(SI), Y4, acc         \
	VBROADCASTSS (4*k+16)(SP), Y4        \
	VFMADD231PS  PY(SI), Y4, acc         \
	VBROADCASTSS (4*k+32)(SP), Y4        \
	VFMADD231PS  PZ(SI), Y4, acc

// func weighAVX2(p *packet, records *byte, triangles *int32, n int, rows *[8]float32) (near uint64)
TEXT ·weighAVX2(SB), NOSPLIT, $64-48
	MOVQ    p+0(FP), SI
	MOVQ    records+8(FP), R8
	MOVQ    triangles+16(FP), DI
	MOVQ    n+24(FP), CX
	MOVQ    rows+32(FP), DX
	VMOVUPS LIMIT(SI), Y11
	VXORPS  Y12, Y12, Y12
	MOVQ    CX, R9

triangle:
	MOVLQSX (DI), AX
	LEAQ    (AX)(AX*8), AX
	LEAQ    (R8)(AX*4), AX

	// X0, X1, X2: x, y and z of the corners a, b, c and a again.
	VMOVUPS   (AX), X3
	VMOVUPS   12(AX), X4
	VMOVUPS   24(AX), X5
	VUNPCKLPS X4, X3, X6
	VUNPCKHPS X4, X3, X7
	VSHUFPS   $0x04, X5, X6, X0
	VSHUFPS   $0x5e, X5, X6, X1
	VSHUFPS   $0xa4, X5, X7, X2
	VSHUFPS   $0x24, X0, X0, X0
	VSHUFPS   $0x24, X1, X1, X1
	VSHUFPS   $0x24, X2, X2, X2

	// X3, X4, X5: the sides ab, bc, ca and nothing; X6, X7, X8: each one's next.
	VSHUFPS $0xc9, X0, X0, X3
	VSHUFPS $0xc9, X1, X1, X4
	VSHUFPS $0xc9, X2, X2, X5
	VSUBPS  X0, X3, X3
	VSUBPS  X1, X4, X4
	VSUBPS  X2, X5, X5
	VSHUFPS $0xc9, X3, X3, X6
	VSHUFPS $0xc9, X4, X4, X7
	VSHUFPS $0xc9, X5, X5, X8

	// X9, X10, X13: the normal, four times.
	VMULPS       X8, X4, X9
	VFNMADD231PS X7, X5, X9
	VMULPS       X6, X5, X10
	VFNMADD231PS X8, X3, X10
	VMULPS       X7, X3, X13
	VFNMADD231PS X6, X4, X13
	VBROADCASTSS X9, X9
	VBROADCASTSS X10, X10
	VBROADCASTSS X13, X13

	// X6: its length squared. X7: the sides' squared, X8: the longest's; X14: all bits where there is no area.
	VMULPS       X9, X9, X6
	VFMADD231PS  X10, X10, X6
	VFMADD231PS  X13, X13, X6
	VMULPS       X3, X3, X7
	VFMADD231PS  X4, X4, X7
	VFMADD231PS  X5, X5, X7
	VSHUFPS      $0x4e, X7, X7, X8
	VMAXPS       X8, X7, X8
	VSHUFPS      $0xb1, X8, X8, X14
	VMAXPS       X14, X8, X8
	VBROADCASTSS thinnest<>(SB), X14
	VCMPPS       $0x1a, X14, X6, X14

	// X7: one over the lengths of the three sides and the normal, X6: of the normal.
	VBLENDPS     $8, X6, X7, X7
	VSQRTPS      X7, X7
	VBROADCASTSS one<>(SB), X6
	VDIVPS       X7, X6, X7
	VORPS        X14, X7, X7
	VSHUFPS      $0xff, X7, X7, X6
	VMULSS       X6, X8, X8

	// X14, X15, X3: x, y and z of the planes: out of each side, and the triangle's own.
	VMULPS       X13, X4, X14
	VFNMADD231PS X10, X5, X14
	VMULPS       X9, X5, X15
	VFNMADD231PS X13, X3, X15
	VMULPS       X10, X3, X3
	VFNMADD231PS X9, X4, X3
	VBLENDPS     $8, X9, X14, X14
	VBLENDPS     $8, X10, X15, X15
	VBLENDPS     $8, X13, X3, X3
	VBROADCASTSS one<>(SB), X4
	VBLENDPS     $8, X4, X6, X6
	VMULPS       X6, X7, X7
	VMULPS       X7, X14, X14
	VMULPS       X7, X15, X15
	VMULPS       X7, X3, X3

	// X0, X1, X2 from the origin. X6: how far the planes are from it. X4: the farthest corner, and the farthest place.
	VBROADCASTSS (ORIGIN+0)(SI), X4
	VBROADCASTSS (ORIGIN+4)(SI), X5
	VBROADCASTSS (ORIGIN+8)(SI), X6
	VSUBPS       X4, X0, X0
	VSUBPS       X5, X1, X1
	VSUBPS       X6, X2, X2
	VMULPS       X14, X0, X6
	VFMADD231PS  X15, X1, X6
	VFMADD231PS  X3, X2, X6
	VMOVUPS      X14, 0(SP)
	VMOVUPS      X15, 16(SP)
	VMOVUPS      X3, 32(SP)
	VMOVUPS      X6, 48(SP)
	VMULPS       X0, X0, X4
	VFMADD231PS  X1, X1, X4
	VFMADD231PS  X2, X2, X4
	VSHUFPS      $0x4e, X4, X4, X5
	VMAXPS       X5, X4, X4
	VSHUFPS      $0xb1, X4, X4, X5
	VMAXPS       X5, X4, X4
	VSQRTSS      X4, X4, X4
	VADDSS       RADIUS(SI), X4, X4

	// Y8: what the distances below may be wrong by; Y9: that, for squared distances from a corner.
	VMULSS       X4, X8, X8
	VMULSS       doubt<>(SB), X8, X8
	VADDSS       X4, X4, X9
	VADDSS       X8, X9, X9
	VMULSS       X8, X9, X9
	VBROADCASTSS X8, Y8
	VBROADCASTSS X9, Y9

	// The least distance that the triangle can have: from its plane, and outside of its sides.
	outside(0, Y3)
	outside(1, Y5)
	outside(2, Y6)
	outside(3, Y7)
	VMAXPS       Y5, Y3, Y3
	VMAXPS       Y6, Y3, Y3
	VBROADCASTSS magnitude<>(SB), Y4
	VANDPS       Y4, Y7, Y7
	VSUBPS       Y8, Y7, Y5
	VSUBPS       Y8, Y3, Y6
	VMAXPS       Y12, Y5, Y5 // zero where there is no number
	VMAXPS       Y12, Y6, Y6
	VMULPS       Y5, Y5, Y5
	VFMADD231PS  Y6, Y6, Y5
	VMOVUPS      Y5, (DX)

	// The greatest: from its plane, for who is inside of all sides.
	VADDPS Y8, Y7, Y7
	VADDPS Y8, Y3, Y3
	VMULPS Y7, Y7, Y7
	VCMPPS $0x16, Y12, Y3, Y3
	VORPS  Y3, Y7, Y7
	VMINPS Y11, Y7, Y11       // as before where there is no number

	// And from its first corner.
	VBROADCASTSS X0, Y0
	VBROADCASTSS X1, Y1
	VBROADCASTSS X2, Y2
	VSUBPS       PX(SI), Y0, Y0
	VSUBPS       PY(SI), Y1, Y1
	VSUBPS       PZ(SI), Y2, Y2
	VFMADD231PS  Y0, Y0, Y9
	VFMADD231PS  Y1, Y1, Y9
	VFMADD231PS  Y2, Y2, Y9
	VMINPS       Y11, Y9, Y11

	ADDQ $4, DI
	ADDQ $32, DX
	DECQ CX
	JNZ  triangle

	VMOVUPS Y11, LIMIT(SI)
	XORQ    BX, BX

mask:
	SUBQ      $32, DX
	VMOVUPS   (DX), Y0
	VCMPPS    $0x1a, Y11, Y0, Y0
	VMOVMSKPS Y0, AX
	SHLQ      $8, BX
	ORQ       AX, BX
	DECQ      R9
	JNZ       mask
	VZEROUPPER
	MOVQ BX, near+40(FP)
	RET

// coordinate leaves in the packet, of eight places, one coordinate of each corner of whose triangles is off, off+12 and
// off+24 from DI + Y15: it, from the first, and in grains.
#define coordinate(off, middle, place, at, origin, corner, low, high) \
	VPCMPEQD     Y0, Y0, Y0           \
	VPCMPEQD     Y1, Y1, Y1           \
	VPCMPEQD     Y2, Y2, Y2           \
	VGATHERDPS   Y0, off(DI)(Y15*1), Y3 \
	VGATHERDPS   Y1, (off+12)(DI)(Y15*1), Y4 \
	VGATHERDPS   Y2, (off+24)(DI)(Y15*1), Y5 \
	VADDPS       Y4, Y3, Y3           \
	VADDPS       Y5, Y3, Y3           \
	VMULPS       Y14, Y3, Y3          \
	VMOVUPS      Y3, middle(SI)       \
	VMOVSS       X3, origin(SI)       \
	VBROADCASTSS X3, Y4               \
	VSUBPS       Y4, Y3, Y4           \
	VMOVUPS      Y4, place(SI)        \
	VFMADD231PS  Y4, Y4, Y10          \
	VEXTRACTF128 $1, Y3, X4           \
	VCVTPS2PD    X3, Y3               \
	VCVTPS2PD    X4, Y4               \
	VBROADCASTSD corner(SI), Y5       \
	VSUBPD       Y5, Y3, Y3           \
	VSUBPD       Y5, Y4, Y4           \
	VMULPD       Y13, Y3, Y3          \
	VMULPD       Y13, Y4, Y4          \
	VMAXPD       Y12, Y3, Y3          \
	VMAXPD       Y12, Y4, Y4          \
	VMINPD       Y11, Y3, Y3          \
	VMINPD       Y11, Y4, Y4          \
	VCVTTPD2DQY  Y3, X3               \
	VCVTTPD2DQY  Y4, X4               \
	VMOVDQU      X3, at(SI)           \
	VMOVDQU      X4, (at+16)(SI)      \
	VPMINSD      X4, X3, X5           \
	VPMAXSD      X4, X3, X3           \
	VPSHUFD      $0x4e, X5, X4        \
	VPSHUFD      $0x4e, X3, X6        \
	VPMINSD      X4, X5, X5           \
	VPMAXSD      X6, X3, X3           \
	VPSHUFD      $0xb1, X5, X4        \
	VPSHUFD      $0xb1, X3, X6        \
	VPMINSD      X4, X5, X5           \
	VPMAXSD      X6, X3, X3           \
	VMOVD        X5, low(SI)          \
	VMOVD        X3, high(SI)

// func middlesAVX2(p *packet, records *byte)
TEXT ·middlesAVX2(SB), NOSPLIT, $0-16
	MOVQ         p+0(FP), SI
	MOVQ         records+8(FP), DI
	VMOVDQU      TRIANGLES(SI), Y15
	VPSLLD       $3, Y15, Y0
	VPADDD       Y0, Y15, Y15
	VPSLLD       $2, Y15, Y15
	VBROADCASTSS third<>(SB), Y14
	VBROADCASTSD GRAIN(SI), Y13
	VBROADCASTSD least<>(SB), Y12
	VBROADCASTSD most<>(SB), Y11
	VXORPS       Y10, Y10, Y10
	coordinate(0, MX, PX, GX, (ORIGIN+0), (CORNER+0), (LOW+0), (HIGH+0))
	coordinate(4, MY, PY, GY, (ORIGIN+4), (CORNER+8), (LOW+4), (HIGH+4))
	coordinate(8, MZ, PZ, GZ, (ORIGIN+8), (CORNER+16), (LOW+8), (HIGH+8))
	VEXTRACTF128 $1, Y10, X4
	VMAXPS       X4, X10, X3
	VSHUFPS      $0x4e, X3, X3, X4
	VMAXPS       X4, X3, X3
	VSHUFPS      $0xb1, X3, X3, X4
	VMAXPS       X4, X3, X3
	VSQRTSS      X3, X3, X3
	VMOVSS       X3, RADIUS(SI)
	VZEROUPPER
	RET
