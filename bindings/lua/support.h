/* SPDX-License-Identifier: GPL-3.0-or-later
 * Lua: tables in and out, errors, functions that the library calls. */
#ifndef DARC_LUA_SUPPORT_H
#define DARC_LUA_SUPPORT_H

#include "frame.h"
#include <lauxlib.h>
#include <lua.h>
#include <math.h>

static size_t darlua_length(lua_State *L, int index, darc_frame *frame, const char *name)
{
    if (lua_istable(L, index))
        return (size_t)lua_rawlen(L, index);
    darc_complain(frame, name, "a table is needed");
    return 0;
}

/* Longer than what SWIG keeps of an object. */
enum { DARLUA_HEAD = 64 };

/*
 * Memory that lives as long as the call. SWIG, which names the types of arguments that it
 * refuses, may take it for an object of its own: it begins as one of no type.
 */
static void *darlua_scratch(lua_State *L, size_t size)
{
    char *block = (char *)lua_newuserdatauv(L, DARLUA_HEAD + size, 0);
    memset(block, 0, DARLUA_HEAD);
    return block + DARLUA_HEAD;
}

/* A copy of a table of numbers, in memory owned by Lua. */
static double *darlua_numbers(lua_State *L, int index, darc_frame *frame,
                              const char *name, int counted)
{
    size_t length = darlua_length(L, index, frame, name);
    double *data = (double *)darlua_scratch(L, (length + 1) * sizeof *data);
    for (size_t i = 0; i < length; i++) {
        int good = 0;
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        data[i] = lua_tonumberx(L, -1, &good);
        if (!good || lua_type(L, -1) != LUA_TNUMBER)
            darc_complain(frame, name, "every value must be a number");
        lua_pop(L, 1);
    }
    darc_array(frame, length, name, counted);
    return frame->bad ? NULL : data;
}

static int *darlua_wholes(lua_State *L, int index, darc_frame *frame, const char *name)
{
    size_t length = darlua_length(L, index, frame, name);
    int *data = (int *)darlua_scratch(L, (length + 1) * sizeof *data);
    if (length > DARC_LISTED_MAX)
        darc_complain(frame, name, "too many values");
    for (size_t i = 0; i < length; i++) {
        int good = 0;
        lua_rawgeti(L, index, (lua_Integer)i + 1);
        lua_Integer whole = lua_tointegerx(L, -1, &good);
        data[i] = (int)whole;
        if (!good || data[i] != whole)
            darc_complain(frame, name, "every value must be a whole number");
        lua_pop(L, 1);
    }
    darc_count(frame, length, name);
    return frame->bad ? NULL : data;
}

static void darlua_table(lua_State *L, size_t n, const double *data)
{
    lua_createtable(L, (int)n, 0);
    for (size_t i = 0; i < n; i++) {
        lua_pushnumber(L, data[i]);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
}

static void darlua_object(lua_State *L, void *object, swig_type_info *type)
{
    if (object)
        SWIG_NewPointerObj(L, object, type, 1);
    else
        lua_pushnil(L);
}

static int darlua_results(lua_State *L, darc_frame *frame)
{
    int results = frame->results;
    for (int i = 0; i < results; i++) {
        const darc_result *result = &frame->result[i];
        switch (result->kind) {
        case DARC_NUMBER:
            lua_pushnumber(L, result->number);
            break;
        case DARC_WHOLE:
            lua_pushinteger(L, result->whole);
            break;
        case DARC_NUMBERS:
            darlua_table(L, result->n, result->data);
            break;
        case DARC_TEXT:
            lua_pushstring(L, result->text);
            break;
        case DARC_OBJECT:
            darlua_object(L, result->object, (swig_type_info *)result->type);
            break;
        case DARC_WHOLES:
            lua_createtable(L, (int)result->n, 0);
            for (size_t k = 0; k < result->n; k++) {
                lua_pushinteger(L, result->wholes[k]);
                lua_rawseti(L, -2, (lua_Integer)k + 1);
            }
            break;
        }
    }
    darc_clear(frame);
    return results;
}

static int darlua_message(lua_State *L)
{
    lua_getfield(L, 1, "message");
    return 1;
}

/* The error of a call as a table: status, name of the status, message; as text it is the
 * message. Returns 0 when there is none. */
static int darlua_raise(lua_State *L, darc_frame *frame, dialarc_status status,
                        const char *function)
{
    char text[DIALARC_ERRORS_SIZE + 128];
    if (!darc_failed(frame, status, function, text, sizeof text))
        return 0;
    darc_clear(frame);
    lua_createtable(L, 0, 3);
    lua_pushstring(L, text);
    lua_setfield(L, -2, "message");
    lua_pushinteger(L, darc_status(frame, status));
    lua_setfield(L, -2, "status");
    lua_pushstring(L, dialarc_status_name(darc_status(frame, status)));
    lua_setfield(L, -2, "name");
    if (luaL_newmetatable(L, "dialarc.error")) {
        lua_pushcfunction(L, darlua_message);
        lua_setfield(L, -2, "__tostring");
    }
    lua_setmetatable(L, -2);
    return 1;
}

static void darlua_push_deleted(lua_State *L, const char *function)
{
    char text[160];
    darc_deleted(function, text, sizeof text);
    lua_pushstring(L, text);
}

/* A function of Lua as the model of a propagation. */
typedef struct darlua_model {
    lua_State *lua;
    int index;
    darc_frame *frame;
} darlua_model;

static double darlua_call_model(const double *input, void *context)
{
    const darlua_model *model = (const darlua_model *)context;
    lua_State *L = model->lua;
    double value;
    if (model->frame->bad)
        return INFINITY;
    lua_pushvalue(L, model->index);
    darlua_table(L, model->frame->count, input);
    if (lua_pcall(L, 1, 1, 0) != LUA_OK || !lua_isnumber(L, -1))
        darc_complain(model->frame, "model", "the function failed or returned no number");
    value = model->frame->bad ? INFINITY : lua_tonumber(L, -1);
    lua_pop(L, 1);
    return value;
}

#endif
