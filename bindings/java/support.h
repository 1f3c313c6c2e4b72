/* SPDX-License-Identifier: GPL-3.0-or-later
 * Java: arrays in and out, exceptions, objects that the library calls. */
#ifndef DARC_JAVA_SUPPORT_H
#define DARC_JAVA_SUPPORT_H

#include "frame.h"
#include <jni.h>
#include <math.h>

static double *darj_numbers(JNIEnv *env, jdoubleArray input, darc_frame *frame,
                            const char *name, int counted)
{
    size_t length;
    double *data;
    if (!input) {
        darc_complain(frame, name, "an array is needed, not null");
        return NULL;
    }
    length = (size_t)(*env)->GetArrayLength(env, input);
    darc_array(frame, length, name, counted);
    if (frame->bad)
        return NULL;
    data = (*env)->GetDoubleArrayElements(env, input, NULL);
    if (!data)
        darc_complain(frame, name, "memory is exhausted");
    return data;
}

static jdoubleArray darj_array(JNIEnv *env, size_t n, const double *data)
{
    jdoubleArray array = (*env)->NewDoubleArray(env, (jsize)n);
    if (array)
        (*env)->SetDoubleArrayRegion(env, array, 0, (jsize)n, data);
    return array;
}

static jdoubleArray darj_result(JNIEnv *env, const darc_result *result)
{
    return darj_array(env, result->n, result->data);
}

/* The numbers among the results, starting at one of them. */
static jdoubleArray darj_numbers_from(JNIEnv *env, const darc_frame *frame, int first)
{
    double number[DARC_RESULTS_MAX];
    size_t n = 0;
    for (int i = first; i < frame->results; i++)
        number[n++] = frame->result[i].kind == DARC_WHOLE ? (double)frame->result[i].whole
                                                          : frame->result[i].number;
    return darj_array(env, n, number);
}

/* The arrays; numbers after them form one more array. */
static jobjectArray darj_arrays(JNIEnv *env, const darc_frame *frame)
{
    int arrays = 0, all;
    jobjectArray outer;
    while (arrays < frame->results && frame->result[arrays].kind == DARC_NUMBERS)
        arrays++;
    all = arrays + (arrays < frame->results);
    outer = (*env)->NewObjectArray(env, all, (*env)->FindClass(env, "[D"), NULL);
    for (int i = 0; outer && i < all; i++) {
        jdoubleArray one = i < arrays ? darj_result(env, &frame->result[i])
                                      : darj_numbers_from(env, frame, i);
        (*env)->SetObjectArrayElement(env, outer, i, one);
    }
    return outer;
}

static jobjectArray darj_whole_arrays(JNIEnv *env, const darc_frame *frame)
{
    jobjectArray outer =
        (*env)->NewObjectArray(env, frame->results, (*env)->FindClass(env, "[I"), NULL);
    for (int i = 0; outer && i < frame->results; i++) {
        const darc_result *result = &frame->result[i];
        jintArray one = (*env)->NewIntArray(env, (jsize)result->n);
        if (!one)
            break;
        (*env)->SetIntArrayRegion(env, one, 0, (jsize)result->n,
                                  (const jint *)result->wholes);
        (*env)->SetObjectArrayElement(env, outer, i, one);
    }
    return outer;
}

static void darj_throw(JNIEnv *env, dialarc_status status, const char *text)
{
    jclass class;
    jmethodID make;
    jstring message;
    jobject exception;
    class = (*env)->FindClass(env, "dialarc/DialarcException");
    make = class ? (*env)->GetMethodID(env, class, "<init>", "(ILjava/lang/String;)V")
                 : NULL;
    message = make ? (*env)->NewStringUTF(env, text) : NULL;
    exception =
        message ? (*env)->NewObject(env, class, make, (jint)status, message) : NULL;
    if (exception)
        (*env)->Throw(env, (jthrowable)exception);
}

static void darj_raise(JNIEnv *env, darc_frame *frame, dialarc_status status,
                       const char *function)
{
    char text[DIALARC_ERRORS_SIZE + 128];
    if (darc_failed(frame, status, function, text, sizeof text) &&
        !(*env)->ExceptionCheck(env))
        darj_throw(env, darc_status(frame, status), text);
}

static void darj_raise_deleted(JNIEnv *env, const char *function)
{
    char text[160];
    darc_deleted(function, text, sizeof text);
    darj_throw(env, DIALARC_ERR_NULL, text);
}

/* An object with `double value(double[])` as the model of a propagation. */
typedef struct darj_model {
    JNIEnv *env;
    jobject object;
    jmethodID method;
    darc_frame *frame;
} darj_model;

static double darj_call_model(const double *input, void *context)
{
    const darj_model *model = (const darj_model *)context;
    JNIEnv *env = model->env;
    double value = INFINITY;
    jdoubleArray array;
    if (model->frame->bad)
        return INFINITY;
    array = darj_array(env, model->frame->count, input);
    if (array)
        value = (*env)->CallDoubleMethod(env, model->object, model->method, array);
    if ((*env)->ExceptionCheck(env)) {
        darc_complain(model->frame, "model", "the function failed");
        return INFINITY;
    }
    (*env)->DeleteLocalRef(env, array);
    return value;
}

static dialarc_model darj_begin_model(darj_model *model, JNIEnv *env, jobject object,
                                      darc_frame *frame)
{
    jclass class = object ? (*env)->GetObjectClass(env, object) : NULL;
    model->env = env;
    model->object = object;
    model->method = class ? (*env)->GetMethodID(env, class, "value", "([D)D") : NULL;
    model->frame = frame;
    return model->method ? darj_call_model : NULL;
}

#endif
