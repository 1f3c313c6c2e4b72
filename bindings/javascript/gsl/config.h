/* SPDX-License-Identifier: GPL-3.0-or-later
 * What GSL's configure would find of WebAssembly, as far as the files of this folder ask.
 */
#define HAVE_DECL_ISNAN       1
#define HAVE_DECL_ISINF       1
#define HAVE_DECL_ISFINITE    1
#define HAVE_DECL_FINITE      1
#define HAVE_IEEE_COMPARISONS 1
#define GSL_COERCE_DBL(x)     (x)
#define RETURN_IF_NULL(x)                                                                \
    if (!x) {                                                                            \
        return;                                                                          \
    }
