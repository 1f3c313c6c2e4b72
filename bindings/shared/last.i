/* SPDX-License-Identifier: GPL-3.0-or-later
 * Lua, Octave, Java and C#: what needs the types that the topics have declared. */
DIALARC_HANDLE(darc_assessments, Assessments, darc_assessments_free)

dialarc_status darc_assess_all(const dialarc_setups *setups, const dialarc_sweeps *sweeps,
                               size_t threads, darc_assessments **made);
size_t darc_assessments_count(const darc_assessments *assessments);
dialarc_status darc_assessments_get(const darc_assessments *assessments, size_t which,
                                    dialarc_batch_result *assessment);
dialarc_status darc_assess(const dialarc_setup *setup, const dialarc_sweep *sweep,
                           dialarc_batch_result *assessment);
%apply const double *OPTIONAL { const double *direction };
dialarc_status darc_make_sweep(size_t n, const double *crank_deg, const double *dial_mm,
                               const double *direction, dialarc_sweep **sweep);
dialarc_status darc_make_injection(size_t n, const double *crank_rpm,
                                    const double *advance_crank_deg, double delay_ms,
                                    double buildup_crank_deg,
                                    dialarc_injection **injection);

DIALARC_HANDLE(darc_sweep_file, SweepReader, darc_sweep_file_free)
dialarc_status darc_sweep_reader_open(const char *path, const dialarc_setups *setups,
                                      darc_sweep_file **opened, dialarc_error *error);
dialarc_status darc_sweep_reader_next(darc_sweep_file *reader,
                                      dialarc_sweep_record **record,
                                      dialarc_error *error);
%apply size_t *index { size_t *sweeps };
dialarc_status darc_stream_assess(const char *sweeps_path, const dialarc_setups *setups,
                                  const char *results_path, size_t threads,
                                  size_t *sweeps, dialarc_error *error);

dialarc_status darc_camtable_from_cam(const dialarc_cam *cam, size_t rows,
                                      dialarc_camtable **table);
dialarc_status darc_camtable_from_arcs(const dialarc_cam *cam, const dialarc_arcs *rise,
                                       const dialarc_arcs *fall, size_t rows,
                                       dialarc_camtable **table);
dialarc_status darc_camtable_from_scca(const dialarc_cam *cam, const dialarc_scca *rise,
                                       const dialarc_scca *fall, size_t rows,
                                       dialarc_camtable **table);
dialarc_status darc_learned_cam_lobe(const dialarc_learned_cam *cam, size_t points,
                                     double *pump_deg, double *lift_mm);
dialarc_status darc_design_choose(dialarc_workspace *workspace,
                                  const dialarc_setup *setup, double lift_mm,
                                  const dialarc_reach *reach, size_t points,
                                  double *plan_crank_deg);
dialarc_status darc_input_sd(const dialarc_input *one, double *sd);
dialarc_status darc_whatif_sensitivity(const dialarc_whatif *whatif,
                                       dialarc_whatif_input which,
                                       dialarc_outcome *slope);
dialarc_status darc_setups_read(const char *contents, dialarc_setups **setups,
                                dialarc_error *error);
dialarc_status darc_sweeps_read(const char *contents, const dialarc_setups *setups,
                                dialarc_sweeps **sweeps, dialarc_error *error);
dialarc_status darc_jobs_read(const char *contents, const dialarc_setups *setups,
                              dialarc_jobs **jobs, dialarc_error *error);
dialarc_status darc_cams_read(const char *contents, dialarc_cams **cams,
                              dialarc_error *error);
dialarc_status darc_setups_name(const dialarc_setups *setups, size_t which,
                                const char **name);
dialarc_status darc_setups_dial(const dialarc_setups *setups, size_t which,
                                const char **name);
dialarc_status darc_setups_get(const dialarc_setups *setups, size_t which,
                               dialarc_setup *setup);
dialarc_status darc_sweeps_get(const dialarc_sweeps *sweeps, size_t which,
                               dialarc_sweep_record **record);
dialarc_status darc_jobs_get(const dialarc_jobs *jobs, size_t which, dialarc_job **job);
dialarc_status darc_cams_name(const dialarc_cams *cams, size_t which, const char **name);
dialarc_status darc_dials_read(const char *contents, dialarc_dials **dials,
                               dialarc_error *error);
dialarc_status darc_dials_name(const dialarc_dials *dials, size_t which,
                               const char **name);
dialarc_status darc_dials_calibrated_on(const dialarc_dials *dials, size_t which,
                                        const char **name);
dialarc_status darc_dials_certificate(const dialarc_dials *dials, size_t which,
                                      const char **name);
dialarc_status darc_lifts_read(const char *contents, dialarc_lifts **lifts,
                               dialarc_error *error);
dialarc_status darc_lifts_sweep(const dialarc_lifts *lifts, size_t which,
                                const char **name);
dialarc_status darc_lifts_setup(const dialarc_lifts *lifts, size_t which,
                                const char **name);
dialarc_status darc_lifts_hand(const dialarc_lifts *lifts, size_t which,
                               const char **name);
dialarc_status darc_rows_read(const char *contents, const char *columns,
                              dialarc_rows **rows, dialarc_error *error);
dialarc_status darc_rows_text(const dialarc_rows *rows, size_t which, const char *column,
                              const char **name);
dialarc_status darc_live_line(const dialarc_live *live, size_t which, const char **name);
dialarc_status darc_cams_get(const dialarc_cams *cams, size_t which,
                             dialarc_cam_record **cam);

/* In languages where a function returns one result, residuals have their own. */
#if defined(SWIGJAVA) || defined(SWIGCSHARP)
dialarc_status darc_timing_residuals(dialarc_workspace *workspace,
                                     const dialarc_setup *setup,
                                     const dialarc_sweep *sweep, double *residuals);
dialarc_status darc_lobes_residuals(dialarc_workspace *workspace,
                                    const dialarc_setup *setup,
                                    const dialarc_sweep *sweep, double *residuals);
dialarc_status darc_reuse_residuals(dialarc_workspace *workspace,
                                    const dialarc_setup *setup,
                                    const dialarc_camtable *cam, double cam_sd_mm,
                                    const dialarc_sweep *sweep, double *residuals);
#endif

/* A new setup knows nothing: zeros would say that all is known exactly. */
%extend dialarc_setup {
  dialarc_setup() {
    const dialarc_setup unknown = dialarc_setup_unknown(0);
    return (dialarc_setup *)darc_copy(&unknown, sizeof unknown);
  }
}

/* Members of arrays of structs, as copies; and what is said about each finding. */
%newobject dialarc_cam_record::camtable;
%newobject dialarc_job::round_at;
%newobject dialarc_lobes::lobe_at;
%newobject dialarc_whatif::input_at;
%extend dialarc_cam_record {
  dialarc_camtable *camtable(void) {
    dialarc_camtable *made = NULL;
    return dialarc_camtable_new($self->n, $self->pump_deg, $self->lift_mm,
                                $self->period_deg, &made) == DIALARC_OK ? made : NULL;
  }
}
%extend dialarc_job {
  dialarc_round *round_at(size_t which) {
    return (dialarc_round *)darc_copy(which < $self->n ? &$self->round[which] : NULL,
                                      sizeof(dialarc_round));
  }
}
%extend dialarc_lobes {
  dialarc_lobe *lobe_at(int which) {
    return (dialarc_lobe *)darc_copy(
        which >= 0 && which < DIALARC_LOBES_MAX ? &$self->lobe[which] : NULL,
        sizeof(dialarc_lobe));
  }
}
%extend dialarc_whatif {
  dialarc_input *input_at(dialarc_whatif_input which) {
    return (dialarc_input *)darc_copy(
        (int)which >= 0 && which < DIALARC_WHATIF_COUNT ? &$self->input[which] : NULL,
        sizeof(dialarc_input));
  }
  void change_input(dialarc_whatif_input which, const dialarc_input *one) {
    if (one && (int)which >= 0
        && which < DIALARC_WHATIF_COUNT) $self->input[which] = *one;
  }
  void change_cam(const dialarc_cam *cam) {
    if (cam) darc_put_cam(&$self->cam, cam);
  }
  void change_cam_now(const dialarc_cam *cam) {
    if (cam) darc_put_cam(&$self->cam_now, cam);
  }
}
%extend dialarc_findings {
  dialarc_severity severity_of(dialarc_finding which) {
    return (int)which >= 0 && which < DIALARC_FINDING_COUNT ? $self->severity[which]
                                                            : DIALARC_SEVERITY_NOTE;
  }
  /* The reading it points at, from 0; -1: none. */
  long row_of(dialarc_finding which) {
    return (int)which >= 0 && which < DIALARC_FINDING_COUNT &&
                   $self->row[which] != DIALARC_NO_ROW
               ? (long)$self->row[which]
               : -1L;
  }
}
