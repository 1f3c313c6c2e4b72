/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The interface of dialarc for other languages. Everything is read from the public
 * headers, one file of this folder a topic; what differs from language to language
 * (typemaps) is in that language's folder and defines these macros:
 *
 *   DIALARC_RECORD(type, Name)        a struct with fields
 *   DIALARC_HANDLE(type, Name, free)  memory that the library owns
 *   DIALARC_ENUM(type, Name)          an enumeration
 *   DIALARC_LIST(type, name)          `size_t n, ..., const type *name`: n structs
 *   DIALARC_UNLOCKED(function)        may run while other threads of the host run
 *   DIALARC_EACH_ALONE(function)      the same, element by element of its arrays
 *   DIALARC_INDEX(type)               a function that returns NULL for a bad index
 *
 * and these patterns for %apply: const double *OPTIONAL (an array or nothing),
 * double *SCALAR (one number even when arrays go in),
 * int *LISTED (as many whole numbers as went in), size_t COUNT with
 * what follows it (a true argument, not the length of arrays that go in).
 * Otherwise `size_t n` is the length of the arrays, `const double *` an array of that
 * length, `double *` a result: an array when arrays go in, else a number.
 */
%module dialarc

%{
#include <dialarc.h>
%}

#define DIALARC_API
#if !defined(__cplusplus)
#define DIALARC_BEGIN_DECLS
#define DIALARC_END_DECLS
#endif

/* Functions lose dialarc_, and stand-ins for functions of C lose darc_. */
%rename("%(regex:/^(dialarc|darc)_(.*)/\\2/)s", %$isfunction) "";
%rename("%(strip:[DIALARC_])s", %$isenumitem) "";
%rename("%(strip:[DIALARC_])s", %$isconstant) "";
%nodefaultctor;

#if defined(SWIGPYTHON)
%include "python/python.i"
#elif defined(SWIGLUA)
%include "lua/lua.i"
#elif defined(SWIGOCTAVE)
%include "octave/octave.i"
#elif defined(SWIGJAVA)
%include "java/java.i"
#elif defined(SWIGCSHARP)
%include "csharp/csharp.i"
#endif

%include "words.i"
%include "trust.i"
%include "cams.i"
%include "engine.i"
%include "dials.i"
%include "setting.i"
%include "fuels.i"
%include "belts.i"
%include "tables.i"
#if !defined(SWIGPYTHON)
%include "shared/many.i"
#endif
%include "chain.i"

#if defined(SWIGPYTHON)
%include "python/last.i"
#else
%include "shared/last.i"
#endif
