// A net of the ear trained on an NVIDIA card: what worker.go and adam.go do, a
// batch at a time, products by cuBLAS in TF32. Sums are made in one order, so
// the same card and libraries give the same weights.
//
//	nvcc -O3 -arch=sm_90 -shared -Xcompiler -fPIC cmd/train/cuda.cu -o libbordontrain.so -lcublas

#include <cublas_v2.h>
#include <cuda_runtime.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

struct Label { // as example.label writes it
	uint64_t sounding;
	float late, weight;
	int8_t lowest, highest, cls, flags; // flags: 1 strum, 2 known
	int32_t unused;
};

struct Place { int32_t at; float w0, w1, base; }; // a feature: base + w0 ev[at] + w1 ev[at+1]

static char fault[256];
static cublasHandle_t blas;
static int L, ROWS, FEAT, AROUND, OUT, PITCHES, LOW; // sizes of dsp
static int FP, XP;                                   // features and inputs of the second stage, padded to fours
static int H1, OP, H2, N;                            // widths, batch
static long capacity, count;
static int8_t *looks;
static Label *labels;
static Place *places;
static int8_t *partOf;
static int *aroundAt;
static float *param, *slope, *mom, *vel, *ema;
static long oW1, oB1, oW2, oB2, oP, oPB, oW3, oB3, oW4, oB4, total;
static float *X, *A1, *D1, *A2, *D2, *X2, *DX2, *A3, *D3, *A4, *D4, *DZ, *ones;
static float *acc; // of each place in the batch: class, strum, sounding, late, right, notes, falsely
static int *ids;
enum { ACC = 7 };

#define GUARD(e) do { cudaError_t r = (e); if (r != cudaSuccess) { snprintf(fault, sizeof fault, "%s: %s", #e, cudaGetErrorString(r)); return 1; } } while (0)
#define BLAS(e) do { cublasStatus_t r = (e); if (r != CUBLAS_STATUS_SUCCESS) { snprintf(fault, sizeof fault, "%s: cublas status %d", #e, (int)r); return 1; } } while (0)

static dim3 grid(long n) { return dim3((unsigned)((n + 255) / 256)); }
static long four(long n) { return (n + 3) / 4 * 4; }

extern "C" const char *bordon_fault() { return fault; }

// sizes: evidence, rows, features, around, outputs, pitches, lowest pitch.
extern "C" int bordon_open(long n, const int *sizes, const Place *p, const int8_t *parts, const int *around) {
	L = sizes[0]; ROWS = sizes[1]; FEAT = sizes[2]; AROUND = sizes[3]; OUT = sizes[4]; PITCHES = sizes[5]; LOW = sizes[6];
	FP = four(FEAT);
	capacity = n; count = 0;
	BLAS(cublasCreate(&blas));
	BLAS(cublasSetMathMode(blas, CUBLAS_TF32_TENSOR_OP_MATH));
	GUARD(cudaMalloc(&looks, n * L));
	GUARD(cudaMalloc(&labels, n * sizeof(Label)));
	GUARD(cudaMalloc(&places, ROWS * FEAT * sizeof(Place)));
	GUARD(cudaMemcpy(places, p, ROWS * FEAT * sizeof(Place), cudaMemcpyHostToDevice));
	GUARD(cudaMalloc(&partOf, L));
	GUARD(cudaMemcpy(partOf, parts, L, cudaMemcpyHostToDevice));
	GUARD(cudaMalloc(&aroundAt, AROUND * sizeof(int)));
	GUARD(cudaMemcpy(aroundAt, around, AROUND * sizeof(int), cudaMemcpyHostToDevice));
	return 0;
}

extern "C" int bordon_clear() { count = 0; return 0; }

extern "C" int bordon_add(const int8_t *look, const Label *l, long n) {
	if (count + n > capacity) { snprintf(fault, sizeof fault, "%ld examples are more than there is room for", count + n); return 1; }
	GUARD(cudaMemcpy(looks + count * L, look, n * L, cudaMemcpyHostToDevice));
	GUARD(cudaMemcpy(labels + count, l, n * sizeof(Label), cudaMemcpyHostToDevice));
	count += n;
	return 0;
}

// A matrix of the net's as the project stores it, and padded as here.
struct Part { long at; int rows, cols, padded; };
static int partsOf(Part *p) {
	Part all[] = {{oW1, FEAT, H1, FP}, {oB1, 1, H1, 1}, {oW2, H1, OP, H1}, {oB2, 1, OP, 1}, {oP, 1, OP, 1}, {oPB, 1, 1, 1},
		{oW3, ROWS * OP + AROUND, H2, XP}, {oB3, 1, H2, 1}, {oW4, H2, OUT, H2}, {oB4, 1, OUT, 1}};
	memcpy(p, all, sizeof all);
	return 10;
}

// bordon_net takes a net of the given widths, its tensors one after another, for
// batches of n.
extern "C" int bordon_net(int h1, int op, int h2, int n, const float *w) {
	H1 = h1; OP = op; H2 = h2; N = n;
	XP = four(ROWS * OP + AROUND);
	float **bufs[] = {&param, &slope, &mom, &vel, &ema, &X, &A1, &D1, &A2, &D2, &X2, &DX2, &A3, &D3, &A4, &D4, &DZ, &ones, &acc};
	for (auto b : bufs) { cudaFree(*b); *b = 0; }
	cudaFree(ids);
	long at = 0;
	auto take = [&](long n) { long here = at; at += four(n); return here; };
	oW1 = take(FP * H1); oB1 = take(H1); oW2 = take(H1 * OP); oB2 = take(OP); oP = take(OP); oPB = take(1);
	oW3 = take(XP * H2); oB3 = take(H2); oW4 = take(H2 * OUT); oB4 = take(OUT);
	total = at;
	for (auto b : {&param, &slope, &mom, &vel, &ema}) {
		GUARD(cudaMalloc(b, total * 4));
		GUARD(cudaMemset(*b, 0, total * 4));
	}
	long R = (long)N * ROWS;
	struct { float **b; long n; } wanted[] = {{&X, R * FP}, {&A1, R * H1}, {&D1, R * H1}, {&A2, R * OP}, {&D2, R * OP}, {&X2, (long)N * XP}, {&DX2, (long)N * XP},
		{&A3, (long)N * H2}, {&D3, (long)N * H2}, {&A4, (long)N * OUT}, {&D4, (long)N * OUT}, {&DZ, R}, {&ones, R}, {&acc, (long)N * ACC}};
	for (auto &b : wanted) {
		GUARD(cudaMalloc(b.b, b.n * 4));
		GUARD(cudaMemset(*b.b, 0, b.n * 4));
	}
	GUARD(cudaMalloc(&ids, N * sizeof(int)));
	float *h = new float[R];
	for (long i = 0; i < R; i++) h[i] = 1;
	cudaError_t e = cudaMemcpy(ones, h, R * 4, cudaMemcpyHostToDevice);
	delete[] h;
	GUARD(e);
	Part p[10];
	int parts = partsOf(p);
	for (int i = 0; i < parts; i++) {
		long n = (long)p[i].rows * p[i].cols;
		GUARD(cudaMemcpy(param + p[i].at, w, n * 4, cudaMemcpyHostToDevice));
		GUARD(cudaMemcpy(ema + p[i].at, w, n * 4, cudaMemcpyHostToDevice));
		w += n;
	}
	return 0;
}

static int out(const float *from, float *w) {
	Part p[10];
	int parts = partsOf(p);
	for (int i = 0; i < parts; i++) {
		long n = (long)p[i].rows * p[i].cols;
		GUARD(cudaMemcpy(w, from + p[i].at, n * 4, cudaMemcpyDeviceToHost));
		w += n;
	}
	return 0;
}

extern "C" int bordon_slopes(float *w) { return out(slope, w); }
extern "C" int bordon_weights(float *w) { return out(param, w); }
extern "C" int bordon_mean(float *w) { return out(ema, w); }

__device__ static uint64_t mix(uint64_t z) { // splitmix64
	z += 0x9e3779b97f4a7c15ull;
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
	z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
	return z ^ (z >> 31);
}

// off are the ingredients that example b of a batch must do without.
__device__ static int off(uint64_t seed, int b, float without) {
	int parts = 0;
	for (int k = 0; k < 4; k++)
		if ((mix(seed * 4 + k + (uint64_t)b * 0x632be59bd9b4e019ull) >> 40) * (1.0f / (1 << 24)) < without) parts |= 1 << k;
	return parts;
}

__global__ static void gather(float *X, float *X2, const int8_t *looks, const Label *labels, const int *ids, const Place *places, const int8_t *partOf, const int *aroundAt,
	int n, int L, int ROWS, int FEAT, int FP, int AROUND, int XP, int opinions, int LOW, uint64_t seed, float without) {
	int b = blockIdx.x;
	__shared__ float ev[2048];
	int blank = off(seed, b, without);
	const int8_t *look = looks + (long)ids[b] * L;
	for (int i = threadIdx.x; i < L; i += blockDim.x) ev[i] = partOf[i] & blank ? 0 : look[i] * (1.0f / 50);
	if (threadIdx.x == 0) ev[L] = 0;
	__syncthreads();
	Label l = labels[ids[b]];
	for (int i = threadIdx.x; i < ROWS * FP; i += blockDim.x) {
		int c = i / FP, k = i % FP;
		float v = 0;
		if (k < FEAT) {
			Place p = places[c * FEAT + k];
			v = p.base + p.w0 * ev[p.at] + p.w1 * ev[p.at + 1];
			int bound = k == FEAT - 2 ? l.highest : l.lowest;
			if (k >= FEAT - 2) v = fminf(fmaxf(LOW + c - bound, -6.0f), 6.0f) / 6;
		}
		X[(long)b * ROWS * FP + i] = v;
	}
	for (int i = threadIdx.x; i < XP - opinions; i += blockDim.x) X2[(long)b * XP + opinions + i] = i < AROUND ? ev[aroundAt[i]] : 0;
}

__global__ static void relu(float *y, const float *bias, long n, int cols, int positive) {
	long i = (long)blockIdx.x * blockDim.x + threadIdx.x;
	if (i >= n) return;
	float v = y[i] + bias[i % cols];
	y[i] = positive ? fmaxf(v, 0) : v;
}

__global__ static void unrelu(float *d, const float *y, long n) {
	long i = (long)blockIdx.x * blockDim.x + threadIdx.x;
	if (i < n && !(y[i] > 0)) d[i] = 0;
}

__global__ static void passOn(float *X2, const float *A2, int n, int opinions, int XP) {
	long i = (long)blockIdx.x * blockDim.x + threadIdx.x;
	if (i < (long)n * opinions) X2[i / opinions * XP + i % opinions] = A2[i];
}

// answers writes the slopes of the last layer's outputs.
__global__ static void answers(float *D4, float *acc, const float *A4, const Label *labels, const int *ids, int n, int OUT, int PITCHES) {
	int b = blockIdx.x * blockDim.x + threadIdx.x;
	if (b >= n) return;
	Label l = labels[ids[b]];
	const float *z = A4 + (long)b * OUT;
	float *d = D4 + (long)b * OUT, *a = acc + (long)b * ACC;
	float top = z[0], sum = 0;
	int best = 0;
	for (int i = 0; i <= PITCHES; i++) if (z[i] > top) { top = z[i]; best = i; }
	for (int i = 0; i <= PITCHES; i++) sum += expf(z[i] - top);
	for (int i = 0; i <= PITCHES; i++) d[i] = l.weight * expf(z[i] - top) / sum;
	d[l.cls] -= l.weight;
	a[0] += logf(sum) - (z[l.cls] - top);
	float p = 1 / (1 + expf(-z[1 + PITCHES])), y = l.flags & 1;
	a[1] -= logf(fmaxf(1e-9f, 1 - fabsf(y - p)));
	d[1 + PITCHES] = 0.3f * l.weight * (p - y);
	d[2 + PITCHES] = 0;
	if (l.cls == 0 && best > 0) a[6] += 1;
	if (l.cls > 0) {
		a[5] += 1;
		if (best == l.cls) a[4] += 1;
		float e = z[2 + PITCHES] - l.late;
		a[3] += fabsf(e);
		d[2 + PITCHES] = fminf(fmaxf(e, -0.3f), 0.3f);
	}
}

// presences writes the slope of whether each pitch sounds.
__global__ static void presences(float *DZ, float *acc, const float *A2, const float *P, const float *PB, const Label *labels, const int *ids, int n, int ROWS, int OP, int PITCHES) {
	int b = blockIdx.x * blockDim.x + threadIdx.x;
	if (b >= n) return;
	Label l = labels[ids[b]];
	for (int c = 0; c < ROWS; c++) {
		float d = 0;
		if (c < PITCHES && l.flags & 2) {
			float z = PB[0];
			for (int k = 0; k < OP; k++) z += P[k] * A2[((long)b * ROWS + c) * OP + k];
			float p = 1 / (1 + expf(-z)), y = l.sounding >> c & 1;
			acc[(long)b * ACC + 2] -= logf(fmaxf(1e-9f, 1 - fabsf(y - p))) / PITCHES;
			d = 2.0f / PITCHES * (p - y) * l.weight;
		}
		DZ[(long)b * ROWS + c] = d;
	}
}

__global__ static void opinionsSlope(float *D2, const float *DX2, const float *DZ, const float *P, const float *A2, int n, int ROWS, int OP, int XP) {
	long i = (long)blockIdx.x * blockDim.x + threadIdx.x;
	if (i >= (long)n * ROWS * OP) return;
	long r = i / OP;
	int k = i % OP;
	float d = DX2[r / ROWS * XP + r % ROWS * OP + k] + DZ[r] * P[k];
	D2[i] = A2[i] > 0 ? d : 0;
}

__global__ static void adam(float *w, const float *g, float *m, float *v, float *ema, long n, float scale, float rate, float decay, float c1, float c2, float keep) {
	long i = (long)blockIdx.x * blockDim.x + threadIdx.x;
	if (i >= n) return;
	float s = g[i] * scale;
	m[i] = 0.9f * m[i] + 0.1f * s;
	v[i] = 0.999f * v[i] + 0.001f * s * s;
	w[i] -= rate * (m[i] / c1 / (sqrtf(v[i] / c2) + 1e-8f) + decay * w[i]);
	ema[i] = keep * ema[i] + (1 - keep) * w[i];
}

// c = a b + beta c, all row-major.
static cublasStatus_t gemm(bool ta, bool tb, int rows, int cols, int k, const float *a, int lda, const float *b, int ldb, float beta, float *c, int ldc) {
	float one = 1;
	return cublasSgemm(blas, tb ? CUBLAS_OP_T : CUBLAS_OP_N, ta ? CUBLAS_OP_T : CUBLAS_OP_N, cols, rows, k, &one, b, ldb, a, lda, &beta, c, ldc);
}

// The sums of the columns of d.
static cublasStatus_t columns(const float *d, int rows, int cols, const float *by, float *sums) {
	float one = 1, zero = 0;
	return cublasSgemv(blas, CUBLAS_OP_N, cols, rows, &one, d, cols, by, 1, &zero, sums, 1);
}

// bordon_pass leaves the slopes of n examples, named by which.
extern "C" int bordon_pass(const int *which, int n, uint64_t seed, float without) {
	long R = (long)n * ROWS;
	int opinions = ROWS * OP;
	GUARD(cudaMemcpy(ids, which, n * sizeof(int), cudaMemcpyHostToDevice));
	gather<<<n, 256>>>(X, X2, looks, labels, ids, places, partOf, aroundAt, n, L, ROWS, FEAT, FP, AROUND, XP, opinions, LOW, seed, without);
	BLAS(gemm(false, false, R, H1, FP, X, FP, param + oW1, H1, 0, A1, H1));
	relu<<<grid(R * H1), 256>>>(A1, param + oB1, R * H1, H1, 1);
	BLAS(gemm(false, false, R, OP, H1, A1, H1, param + oW2, OP, 0, A2, OP));
	relu<<<grid(R * OP), 256>>>(A2, param + oB2, R * OP, OP, 1);
	passOn<<<grid((long)n * opinions), 256>>>(X2, A2, n, opinions, XP);
	BLAS(gemm(false, false, n, H2, XP, X2, XP, param + oW3, H2, 0, A3, H2));
	relu<<<grid((long)n * H2), 256>>>(A3, param + oB3, (long)n * H2, H2, 1);
	BLAS(gemm(false, false, n, OUT, H2, A3, H2, param + oW4, OUT, 0, A4, OUT));
	relu<<<grid((long)n * OUT), 256>>>(A4, param + oB4, (long)n * OUT, OUT, 0);

	answers<<<grid(n), 256>>>(D4, acc, A4, labels, ids, n, OUT, PITCHES);
	presences<<<grid(n), 256>>>(DZ, acc, A2, param + oP, param + oPB, labels, ids, n, ROWS, OP, PITCHES);
	BLAS(gemm(true, false, H2, OUT, n, A3, H2, D4, OUT, 0, slope + oW4, OUT));
	BLAS(columns(D4, n, OUT, ones, slope + oB4));
	BLAS(gemm(false, true, n, H2, OUT, D4, OUT, param + oW4, OUT, 0, D3, H2));
	unrelu<<<grid((long)n * H2), 256>>>(D3, A3, (long)n * H2);
	BLAS(gemm(true, false, XP, H2, n, X2, XP, D3, H2, 0, slope + oW3, H2));
	BLAS(columns(D3, n, H2, ones, slope + oB3));
	BLAS(gemm(false, true, n, XP, H2, D3, H2, param + oW3, H2, 0, DX2, XP));
	opinionsSlope<<<grid(R * OP), 256>>>(D2, DX2, DZ, param + oP, A2, n, ROWS, OP, XP);
	BLAS(columns(A2, R, OP, DZ, slope + oP));
	BLAS(columns(DZ, R, 1, ones, slope + oPB));
	BLAS(gemm(true, false, H1, OP, R, A1, H1, D2, OP, 0, slope + oW2, OP));
	BLAS(columns(D2, R, OP, ones, slope + oB2));
	BLAS(gemm(false, true, R, H1, OP, D2, OP, param + oW2, OP, 0, D1, H1));
	unrelu<<<grid(R * H1), 256>>>(D1, A1, R * H1);
	BLAS(gemm(true, false, FP, H1, R, X, FP, D1, H1, 0, slope + oW1, H1));
	BLAS(columns(D1, R, H1, ones, slope + oB1));
	GUARD(cudaGetLastError());
	return 0;
}

extern "C" int bordon_update(float scale, float rate, float decay, float c1, float c2, float keep) {
	adam<<<grid(total), 256>>>(param, slope, mom, vel, ema, total, scale, rate, decay, c1, c2, keep);
	GUARD(cudaGetLastError());
	return 0;
}

// bordon_lost writes what was lost since the last call: class, strum, sounding,
// late, notes named, notes, others called a note.
extern "C" int bordon_lost(double *sums) {
	float *h = new float[(long)N * ACC];
	cudaError_t e = cudaMemcpy(h, acc, (long)N * ACC * 4, cudaMemcpyDeviceToHost);
	for (int k = 0; k < ACC; k++) sums[k] = 0;
	if (e == cudaSuccess)
		for (long i = 0; i < N; i++)
			for (int k = 0; k < ACC; k++) sums[k] += h[i * ACC + k];
	delete[] h;
	GUARD(e);
	GUARD(cudaMemset(acc, 0, (long)N * ACC * 4));
	return 0;
}
