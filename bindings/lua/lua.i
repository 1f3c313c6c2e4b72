/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lua: arrays are tables, several results come back one after the other, errors are
 * raised. Memory that only a call needs belongs to Lua, which reclaims it after an error
 * too.
 */
%{
#include "support.h"
#define DARC_TYPE(descriptor) descriptor
%}

%define DARC_COPIED_BY(type, member, copy)
%typemap(out) type *member {
  darlua_object(L, copy($1, sizeof *$1), $1_descriptor);
  SWIG_arg++;
}
%enddef
%typemap(out) dialarc_sweep *COPY {
  darlua_object(L, darc_copy_sweep($1), $1_descriptor);
  SWIG_arg++;
}

%define DARC_LIST(type, name)
%typemap(in) const type *name {
  size_t length = darlua_length(L, $input, &frame, "$1_name");
  type *list = (type *)darlua_scratch(L, (length + 1) * sizeof *list);
  for (size_t i = 0; i < length; i++) {
    void *pointer = NULL;
    lua_geti(L, $input, (lua_Integer)i + 1);
    if (SWIG_IsOK(SWIG_ConvertPtr(L, -1, &pointer, $1_descriptor, 0)) && pointer)
      list[i] = *(type *)pointer;
    else
      darc_complain(&frame, "$1_name", "a table of structs is needed");
    lua_pop(L, 1);
  }
  darc_count(&frame, length, "$1_name");
  $1 = frame.bad ? NULL : list;
}
%enddef

%include "shared/common.i"

%typemap(in) const double * { $1 = darlua_numbers(L, $input, &frame, "$1_name", 1); }
%typemap(in) const double *OPTIONAL {
  $1 = NULL;
  if (!lua_isnoneornil(L, $input)) $1 = darlua_numbers(L, $input, &frame, "$1_name", 1);
}
%typemap(in) const double *correlation {
  $1 = NULL;
  if (!lua_isnoneornil(L, $input)) $1 = darlua_numbers(L, $input, &frame, "$1_name", 0);
}
%typemap(in) (int COUNT, const int *LIST) {
  $2 = darlua_wholes(L, $input, &frame, "$2_name");
  $1 = (int)frame.count;
}
%typemap(in) (dialarc_model model, void *context) (darlua_model temp) {
  if (!lua_isfunction(L, $input)) darc_complain(&frame, "model", "a function is needed");
  temp.lua = L;
  temp.index = $input;
  temp.frame = &frame;
  $1 = frame.bad ? NULL : darlua_call_model;
  $2 = &temp;
}
%typemap(out) dialarc_status (darc_frame frame = {0}) {
  if (darlua_raise(L, &frame, $1, "$symname")) SWIG_fail;
}
%typemap(ret) dialarc_status { SWIG_arg += darlua_results(L, &frame); }
/* A method called on no object. */
%typemap(check) SWIGTYPE *self {
  if (!$1) {
    darlua_push_deleted(L, "$symname");
    SWIG_fail;
  }
}
/* A reader keeps its setups alive. */
%typemap(ret) dialarc_status darc_sweep_reader_open {
  SWIG_arg += darlua_results(L, &frame);
  lua_pushvalue(L, 2);
  lua_setiuservalue(L, -2, 1);
}
%typemap(out) int, long, size_t, uint32_t {
  lua_pushinteger(L, (lua_Integer)$1);
  SWIG_arg++;
}
%typemap(out) dialarc_status status { lua_pushinteger(L, $1); SWIG_arg++; }
%typemap(ret) dialarc_status status "";
%typemap(out) const double * { darlua_table(L, arg1->n, $1); SWIG_arg++; }
%typemap(out) double [ANY] { darlua_table(L, $1_dim0, $1); SWIG_arg++; }
%typemap(out) double [ANY][ANY] { darlua_table(L, $1_dim0 * $1_dim1, $1[0]); SWIG_arg++; }

/* dialarc.Cam{lobes = 4, lift_mm = 2.2}: fields by their names. */
%luacode {
  local function refuse(made, field)
    local meta, names = getmetatable(made), {}
    for name in pairs(meta[".set"]) do table.insert(names, name) end
    table.sort(names)
    error(("%s: no field is called '%s'; there are %s"):format(
          meta[".type"], tostring(field), table.concat(names, ", ")), 3)
  end

  for _, class in pairs(dialarc) do
    local meta = type(class) == "table" and getmetatable(class)
    if meta and meta.__call then
      local make = meta.__call
      meta.__call = function(self, ...)
        local fields = ...
        if type(fields) ~= "table" then return make(self, ...) end
        local made = make(self)
        for name, value in pairs(fields) do
          if not getmetatable(made)[".set"][name] then refuse(made, name) end
          made[name] = value
        end
        return made
      end
    end
  end

  -- for record in dialarc.sweep_reader_open("sweeps.csv", setups) do ... end
  local open = dialarc.sweep_reader_open
  function dialarc.sweep_reader_open(...)
    local reader = open(...)
    getmetatable(reader).__call = function(self)
      return dialarc.sweep_reader_next(self)
    end
    return reader
  end
}
