// Made by `npm run openapi` from backend/server/openapi.json; do not edit.
export interface paths {
    "/api/units/{site}/{unit}/circuits/{circuit}/series.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["export_circuit"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/modules/{module}/closings.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["export_closings"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/circuits.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["export_circuitStudy"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/backup-ageing.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["export_backupStudy"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/unread-messages/{id}/payload": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["export_payload"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/questions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyquestion_askable"];
        put?: never;
        post: operations["studyquestion_save"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/questions/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["studyquestion_forget"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/answer": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyquestion_answer"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/answer.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyquestion_table"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/answer.parquet": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyquestion_parquet"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/comparison": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_comparison"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/change-effect": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_changeEffect"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/survival": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_survival"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/wear": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_wear"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/wear.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_wearTable"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/places": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["studyfair_unitPlaces"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/export/{file}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["takeaway_take"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/health": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["state_health"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/progress": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["state_progress"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/events": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["state_stream"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/rounds": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_round"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/changes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_changesSince"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/portfolio": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_portfolio"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sites/{site}/nearby": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_nearby"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/findings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_history"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/findings/{id}/evidence": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_evidenceOf"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/evidence": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["round_evidenceOfSeveral"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/round-changes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["roundchange_roundChanges"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/missing-telemetry": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["missingtelemetry_missing"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/data-health": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["datahealth_fleet"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sites/{site}/data-health": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["datahealth_site"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/data-health": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["datahealth_unit"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["unit_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["unit_detail"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/water/series": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["unit_water"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/power-losses": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["unit_powerLosses"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/power-losses/{startedAt_s}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["unit_replay"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/circuits/{circuit}/series": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["circuit_circuitSeries"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/circuits/{circuit}/windows": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["circuit_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/circuits/{circuit}/windows/{start_s}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["circuit_picture"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/circuits/{circuit}/floor": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["circuit_floor"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/circuits/{circuit}/cycle": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["circuit_cycle"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/modules/{module}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["module_detail"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/modules/{module}/series": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["module_backupSeries"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/modules/{module}/closings/{startedAt_s}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["module_closing"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/circuits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["study_circuits"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/study/backup-ageing": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["study_backup"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/unread-messages": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["study_unreadMessages"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/refrigerants": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["study_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/findings/{id}/decisions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_ofFinding"];
        put?: never;
        post: operations["decision_decide"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/diagnoses/{id}/decisions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_ofDiagnosis"];
        put?: never;
        post: operations["decision_decideOnDiagnosis"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/standings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_standings"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/decisions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_ofUnit"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accuracy": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_accuracy"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/causes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["decision_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/day-plan": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["plan_plan"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/day-plan/calendar.ics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["plan_download"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendars/{file}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["plan_subscribed"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/calendar-address": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["plan_address"];
        put?: never;
        post: operations["plan_makeAddress"];
        delete: operations["plan_voidAddress"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/energy": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["energy_fleet"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/energy/units": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["energy_units"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sites/{site}/report": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["report_report"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["session_session"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-in": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_signIn"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_signOut"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-in/openid": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["session_beginOpenId"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-in/openid/return": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["session_finishOpenId"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/person": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_switchTo"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/password": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_changePassword"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sessions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["session_sessions"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sessions/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["session_endOne"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/invitations/look": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_look"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/invitations/join": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["session_join"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/second-factor": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["secondfactor_begin"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/second-factor/confirm": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["secondfactor_confirm"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/second-factor/recovery-codes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["secondfactor_left"];
        put?: never;
        post: operations["secondfactor_renew"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session/second-factor/off": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["secondfactor_off"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{id}/second-factor": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["secondfactor_takeAway"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/second-factor-rule": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["secondfactor_rule"];
        put: operations["secondfactor_setRule"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/people": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["account_people"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["account_list"];
        put?: never;
        post: operations["account_invite"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch: operations["account_change"];
        trace?: never;
    };
    "/api/accounts/{id}/link": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["account_link"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/accounts/{id}/sign-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["account_endSessions"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/audit-log": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["account_log"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/tokens": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["account_ownTokens"];
        put?: never;
        post: operations["account_makeToken"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/tokens/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["account_revoke"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/notices": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["notice_own"];
        put: operations["notice_keep"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/notices/test": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["notice_test"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/mail": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["notice_mail"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/mail/check": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["notice_checkMail"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/dead-letters": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["notice_deadLetters"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/dead-letters/{id}/again": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["notice_again"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/webhooks": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["webhook_list"];
        put?: never;
        post: operations["webhook_make"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/webhooks/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["webhook_remove"];
        options?: never;
        head?: never;
        patch: operations["webhook_change"];
        trace?: never;
    };
    "/api/webhooks/{id}/secret": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["webhook_secret"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/webhooks/{id}/test": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["webhook_test"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/webhooks/{id}/deliveries": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["webhook_deliveries"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/metrics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["metrics_metrics"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["registry_sites"];
        put?: never;
        post: operations["registry_addSite"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["registry_site"];
        put: operations["registry_changeSite"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/check": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_check"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_addUnit"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["registry_unit"];
        put: operations["registry_changeUnit"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/retire": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_retire"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/bring-back": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_bringBack"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/move": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_move"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/circuits/{circuit}/move": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_moveCircuit"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/modules/{module}/move": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registry_moveModule"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/gateways": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["gateway_list"];
        put?: never;
        post: operations["gateway_make"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/gateways/{number}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete: operations["gateway_revoke"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/heard": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["heard_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/table/preview": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registrytable_preview"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/table": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["registrytable_apply"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/table.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["registrytable_csv"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/table.xlsx": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["registrytable_xlsx"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/sparkplug": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["sparkplug_unit"];
        put: operations["sparkplug_change"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sites/{site}/units/{unit}/sparkplug/metrics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["sparkplug_metrics"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sparkplug/preview": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["sparkplug_preview"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sparkplug": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["sparkplug_apply"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sparkplug.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["sparkplug_csv"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/registry/sparkplug.xlsx": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["sparkplug_xlsx"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        SiteReference: {
            key: string;
            name: string;
            timeZone: string;
            climate: string;
            /** @description Pressure of the air at the site's height, by the standard atmosphere: gauges read from it */
            ambientPressure_Pa: number;
        };
        UnitReference: {
            key: string;
            name: string;
            refrigerant: string;
            /** @description Safety class to ASHRAE 34 / ISO 817 */
            safetyClass: string | null;
            nominalCapacity_W: number;
            controllerFirmware: string;
        };
        Problem: {
            type: string;
            title: string;
            status: number;
            detail: string;
            /** @description For a parameter that cannot be used: its name and the reason */
            errors?: {
                name: string;
                reason: string;
            }[];
        };
        Quantity: {
            /** @description In the SI unit of the kind (K, Pa, s, J, W, kg, V, F, Ohm, A, 1/d; fractions 0..1; a flow coefficient as Kv in m3/h) */
            value: number;
            /** @enum {string} */
            kind: "temperature" | "temperature-difference" | "pressure" | "pressure-difference" | "duration" | "instant" | "share" | "percent-opening" | "energy" | "power" | "mass" | "voltage" | "capacitance" | "resistance" | "current" | "flow-coefficient" | "ratio" | "count" | "rate-per-day";
            /** @description One standard uncertainty, same unit */
            uncertainty?: number;
        };
        Statement: {
            /** @description A sentence in which each {name} is replaced by the quantity of that name */
            text: string;
            quantities: {
                [key: string]: components["schemas"]["Quantity"];
            };
        };
        /** @enum {string} */
        Urgency: "today" | "this-week" | "next-visit" | "watch";
        /** @enum {string} */
        Certainty: "certain" | "likely" | "possible";
        /** @enum {string} */
        Hazard: "pressure" | "flammable" | "toxic" | "live-parts" | "charged-capacitor" | "rotating-parts";
        FindingSubject: {
            /** @constant */
            kind: "circuit";
            circuit: number;
        } | {
            /** @constant */
            kind: "sensor";
            circuit: number;
            sensor: string;
        } | {
            /** @constant */
            kind: "module";
            module: number;
        } | {
            /** @constant */
            kind: "unit";
        };
        WaitingCost: {
            /** @description Expected loss per week on a scale of 0 to 100 that is the same for all findings */
            score: number;
            sentence: components["schemas"]["Statement"];
        };
        Explanation: {
            cause: string;
            /** @description Probability among the explanations given, 0..1 */
            weight: number;
            /** @description Of a sensor that reads wrong: the likely ones, with the probability of each */
            sensors?: {
                sensor: string;
                weight: number;
            }[];
            supports: components["schemas"]["Statement"][];
            contradicts: components["schemas"]["Statement"][];
        };
        Finding: {
            id: string;
            condition: string;
            subject: components["schemas"]["FindingSubject"];
            headline: components["schemas"]["Statement"];
            reasons: components["schemas"]["Statement"][];
            explanations: components["schemas"]["Explanation"][];
            separatingCheck: components["schemas"]["Statement"] | null;
            certainty: components["schemas"]["Certainty"];
            urgency: components["schemas"]["Urgency"];
            waiting: components["schemas"]["WaitingCost"];
            /** @description What to bring or do on a visit; shown with the cautions */
            visit: components["schemas"]["Statement"][];
            hazards: components["schemas"]["Hazard"][];
            /** @description Measured error of the sensor: reading less true value, in the SI unit of the reading */
            error?: {
                bias: number;
                uncertainty: number;
                noise?: number;
            };
            /**
             * @description Figures are of superheat without the measured errors of the sensors
             * @constant
             */
            corrected?: true;
            /**
             * @description Of sensors swapped between circuits: readings answer the valve of the other circuit
             * @constant
             */
            shownBy?: "valve-answers";
            /** @description Seconds since the Unix epoch */
            firstSeen_s: number;
            /** @description Seconds since the Unix epoch */
            lastSeen_s: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            openedAt: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            updatedAt: string;
            /** @description null while the finding is open */
            endedAt: string | null;
        };
        FindingOfUnit: {
            site: string;
            unit: string;
            finding: components["schemas"]["Finding"];
        };
        FindingHistory: {
            findings: components["schemas"]["FindingOfUnit"][];
            /** @description Value of `after` for the next page; null: this is the last page */
            next: string | null;
        };
        /** @enum {string} */
        Cause: "loop-tuned-too-hard" | "valve-too-large" | "valve-too-small" | "valve-friction" | "valve-offset" | "valve-leaks-by" | "tandem-mismatch" | "load-swings" | "circuits-disturb-each-other" | "setpoint-under-steady-floor" | "setpoint-too-high" | "measurement-noise" | "missing-refrigerant" | "excess-refrigerant" | "gas-in-circuit" | "condenser-fouled" | "condenser-flow-low" | "evaporator-fouled" | "evaporator-flow-low" | "liquid-line-restricted" | "compressor-weak" | "sensor-wrong" | "sensors-swapped" | "registry-wrong" | "capacitor-worn" | "capacitor-cell-weak" | "charger-weak" | "module-leaks" | "module-unproven" | "something-else";
        AdvisedFigure: {
            value: number;
            low: number;
            high: number;
            /** @enum {string} */
            unit: "share" | "times" | "m3/h" | "K" | "s";
        };
        Advice: {
            /** @enum {string} */
            change: "loop-gain" | "valve-size" | "setpoint" | "charge";
            sentence: components["schemas"]["Statement"];
            /** @description How it was worked out, and on what it is based */
            basis: components["schemas"]["Statement"];
            figures: {
                [key: string]: components["schemas"]["AdvisedFigure"];
            };
        };
        Rival: {
            cause: components["schemas"]["Cause"];
            name: string;
            weight: number;
        };
        Diagnosis: {
            id: string;
            cause: components["schemas"]["Cause"];
            /** @description The cause in words */
            name: string;
            subject: components["schemas"]["FindingSubject"];
            /** @description The cause and how sure, as a sentence */
            headline: components["schemas"]["Statement"];
            /** @description Probability of the cause, 0..1 */
            weight: number;
            certainty: components["schemas"]["Certainty"];
            /** @description What else would explain the same symptoms, likeliest first */
            rivals: components["schemas"]["Rival"][];
            /** @description Tells the cause from the likeliest rival */
            separatingCheck: components["schemas"]["Statement"] | null;
            /** @description What could be set or fitted otherwise, for whoever may do so; null: nothing is advised */
            advice: components["schemas"]["Advice"] | null;
            urgency: components["schemas"]["Urgency"];
            waiting: components["schemas"]["WaitingCost"];
            /** @description Ids of the findings that it explains, most telling first */
            symptoms: string[];
            /** @description Those of them that only follow from the cause: no problems of their own */
            consequences: string[];
            /** @description When the first of what points to the cause was first seen */
            since_s: number;
            hazards: components["schemas"]["Hazard"][];
            /** @description What a person must mind besides the cautions of every visit */
            cautions: string[];
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            openedAt: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            updatedAt: string;
            /** @description null while the diagnosis is open */
            endedAt: string | null;
        };
        RoundUnit: {
            /** @description Rank in the order asked for, among the units that match site, region and words; 1 comes first */
            rank: number;
            site: components["schemas"]["SiteReference"];
            unit: components["schemas"]["UnitReference"];
            urgency: components["schemas"]["Urgency"];
            /** @description Of the first problem */
            waiting: components["schemas"]["WaitingCost"];
            /** @description Since when the first problem is known: seen in the data or told, whichever came first; null: not worked out yet */
            since: string | null;
            /** @description One for each problem of the unit, most urgent first; findings beneath them by id */
            diagnoses: components["schemas"]["Diagnosis"][];
            /** @description Most urgent first */
            findings: components["schemas"]["Finding"][];
            lastReading: string | null;
        };
        QuietUnit: {
            site: components["schemas"]["SiteReference"];
            unit: components["schemas"]["UnitReference"];
            lastReading: string | null;
            /** @description Registered, and no reading has ever come */
            neverHeard: boolean;
            /** @description Why it is quiet: nothing found, or not enough telemetry to say */
            note: string;
        };
        Round: {
            /**
             * Format: date-time
             * @description Time of the round, to the minute
             */
            asOf: string;
            /** @description Number of the newest change of the round that this holds, to be told from there on by events */
            version: number;
            /** @description When judging began; null: it has not */
            judgingSince: string | null;
            /** @description false: judging began after the time asked for, so nothing is known of it */
            known: boolean;
            /** @description Whether all stored history has been judged */
            settled: boolean;
            /** @description All units by their most urgent problem; units that send nothing are also counted under their urgency */
            counts: {
                units: number;
                circuits: number;
                modules: number;
                today: number;
                thisWeek: number;
                nextVisit: number;
                watch: number;
                quiet: number;
                silent: number;
                /** @description Of the quiet ones: registered, and no reading has ever come */
                neverHeard: number;
            };
            /** @description The same for the units that match the site and the words asked for */
            found: {
                units: number;
                today: number;
                thisWeek: number;
                nextVisit: number;
                watch: number;
                quiet: number;
            };
            /** @description All sites; on the first page only */
            sites: components["schemas"]["SiteReference"][];
            units: components["schemas"]["RoundUnit"][];
            /** @description Units with no finding; they come after all others */
            quiet: components["schemas"]["QuietUnit"][];
            /** @description Cursor of the next page; null: this is the last page */
            next: string | null;
        };
        RoundChange: {
            number: number;
            /** @description {siteKey}/{unitKey} */
            unit: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            changedAt: string;
            /**
             * @description Of the unit as it stands now, not as it stood then
             * @enum {string}
             */
            urgency: "today" | "this-week" | "next-visit" | "watch" | "quiet";
            /** @description Open now */
            findings: number;
        };
        RoundChangeList: {
            /** @description Number of the newest change of the round */
            version: number;
            /** @description To be given as `since` next time; under `version` there is more to read now */
            next: number;
            /** @description Some of what changed since is no longer kept, or `since` is unknown: read the round again */
            readAgain: boolean;
            /** @description Oldest first */
            changes: components["schemas"]["RoundChange"][];
        };
        StatePoint: {
            /** @enum {string} */
            name: "suction" | "discharge" | "condenser-dew" | "condenser-bubble" | "liquid" | "evaporator-inlet" | "evaporator-dew";
            label: string;
            pressure_Pa: number;
            enthalpy_J_kg: number;
            temperature_K: number | null;
        };
        Cycle: {
            refrigerant: string;
            /** @description Time of the readings used; null: no complete reading */
            at_s: number | null;
            bubbleLine: {
                pressure_Pa: number[];
                temperature_K: number[];
                enthalpy_J_kg: number[];
            };
            dewLine: {
                pressure_Pa: number[];
                temperature_K: number[];
                enthalpy_J_kg: number[];
            };
            /** @description State points in the order of the cycle, from suction; empty when the readings do not allow it */
            points: components["schemas"]["StatePoint"][];
            /** @description The closed cycle as a line; empty without state points */
            path: {
                pressure_Pa: number[];
                enthalpy_J_kg: number[];
            };
            refrigeratingEffect_J_kg: number | null;
            /** @description Enthalpy rise from suction to discharge */
            compression_J_kg: number | null;
            /** @description Assumptions, and the reasons for points that are missing */
            sentences: components["schemas"]["Statement"][];
        };
        ChangedUnit: {
            site: components["schemas"]["SiteReference"];
            unit: components["schemas"]["UnitReference"];
            /** @enum {string} */
            change: "new" | "worse" | "better" | "gone";
            before: components["schemas"]["Urgency"] | null;
            now: components["schemas"]["Urgency"] | null;
            findings: {
                id: string;
                subject: components["schemas"]["FindingSubject"];
                headline: components["schemas"]["Statement"];
                /** @description null: it was not open then */
                before: components["schemas"]["Urgency"] | null;
                /** @description null: it has ended */
                now: components["schemas"]["Urgency"] | null;
            }[];
        };
        Changes: {
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            since: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            until: string;
            /** @description When judging began; null: it has not */
            judgingSince: string | null;
            /** @description false: judging began only after `since`, so all that was found since is new */
            known: boolean;
            /** @description Units, by the urgency of their most urgent finding; `watch` asks nothing of anyone */
            counts: {
                new: number;
                worse: number;
                better: number;
                gone: number;
            };
            units: components["schemas"]["ChangedUnit"][];
            page: number;
            pages: number;
        };
        /** @enum {string} */
        RefusalReason: "other-site" | "reading" | "wrong-password" | "revoked" | "unknown-user" | "no-key" | "mqtt-5";
        GatewayRefusal: {
            reason: components["schemas"]["RefusalReason"];
            count: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            lastAt: string;
            /** @description The topic, or where it came from */
            detail: string;
        };
        Gateway: {
            site: string;
            /** @description From 1 at its site */
            number: number;
            /** @description Its user at the broker */
            user: string;
            name: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            madeAt: string;
            madeBy: string;
            revokedAt: string | null;
            revokedBy: string | null;
            /** @description When the embedded broker last let it in */
            connectedAt: string | null;
            /** @description What the embedded broker refused it */
            refusals: components["schemas"]["GatewayRefusal"][];
        };
        GatewayList: {
            broker: {
                /**
                 * @description Where keys are handed to; none: this server hands them to no broker, and they open nothing by themselves
                 * @enum {string}
                 */
                kind: "embedded" | "mosquitto" | "none";
                /** @description Addresses of the embedded broker */
                listens: string[];
            };
            /** @description Topics that a key of this site opens, for publishing */
            topics: string[];
            gateways: components["schemas"]["Gateway"][];
            /** @description What was refused to clients without a key; null: for people who see all sites only */
            strangers: components["schemas"]["GatewayRefusal"][] | null;
        };
        GatewayWish: {
            /** @description What it is called, or where it stands */
            name: string;
        };
        NewGateway: {
            gateway: components["schemas"]["Gateway"];
            /** @description Shown here and never again */
            password: string;
        };
        Health: {
            /** @enum {string} */
            status: "ok" | "starting" | "degraded";
            /** @enum {string} */
            database: "ok" | "down";
            /**
             * @description unused: this process does not ingest
             * @enum {string}
             */
            broker: "ok" | "down" | "unused";
            storage: ("timescaledb" | "postgresql") | null;
            roles: ("ingest" | "assess" | "api")[];
            version: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            startedAt: string;
            /** @description Windows and closings whose judgement failed; the page of the unit gives the reason. null: the database is down */
            notJudged: {
                windows: number;
                closings: number;
                circuits: number;
                modules: number;
            } | null;
            messagesLost: {
                broker: string;
                lost: number;
                firstAt: string | null;
                lastAt: string | null;
            }[] | null;
            /** @description Samples of the last day that did not come although circuits are sampled evenly before and after; null: the database is down */
            samplesMissing: {
                samples: number;
                units: number;
                sites: number;
            } | null;
            /** @description Messages of the last day that could not be read, by the reason; null: the database is down */
            unreadMessages: {
                reason: string;
                kept: number;
                notKept: number;
            }[] | null;
            /** @description What the embedded broker refused clients, by the reason, where the last time was in the last day; null: the database is down */
            gatewaysRefused: {
                reason: components["schemas"]["RefusalReason"];
                /** @description Since the embedded broker was set up */
                count: number;
                /** @description Gateways concerned; 0: only clients without a key */
                gateways: number;
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                lastAt: string;
            }[] | null;
        };
        Progress: {
            /** @description Rows of circuit readings stored, from the statistics of the database */
            readings: number;
            /** @description Windows with new telemetry that is not judged yet */
            windowsDue: number;
            windowsJudged: number;
            closings: number;
            modulesDue: number;
            newestReading: string | null;
            oldestReading: string | null;
            unread: number;
            /** @description Rate of storage over the last half minute */
            readingsPerSecond: number;
            /** @description Whether all history has been judged: only the present window is due */
            settled: boolean;
            /** @description Whether besides nothing waits that follows from it: findings, diagnoses, the order of the round */
            upToDate: boolean;
        };
        /** @description Not sent itself; lists the data of the event types `connected`, `alive`, `round-changed`, `read-again`, `progress`, `reading` and `unit-changed` of GET /api/events */
        LiveEvent: {
            connected?: {
                /** @description Number of the newest change of the round */
                version: number;
            };
            /** @description Every five seconds, so that silence means a lost connection */
            alive?: Record<string, never>;
            roundChanged?: {
                /** @description Number of the newest change of the round */
                version: number;
                units: string[];
            };
            /** @description Too many events were missed to be sent: read everything again */
            readAgain?: {
                /** @description Number of the newest change of the round */
                version: number;
            };
            progress?: components["schemas"]["Progress"];
            reading?: {
                /** @description {siteKey}/{unitKey} */
                unit: string;
                circuit: number;
                time_s: number;
            };
            unitChanged?: {
                /** @description {siteKey}/{unitKey} */
                unit: string;
            };
        };
        SwingEvidence: {
            /** @constant */
            kind: "swing";
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            superheat_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpening_pct: (number | null)[];
            /** @description Cycles of superheat from crest to crest */
            cycles: {
                /** @description Seconds since the Unix epoch */
                from_s: number;
                /** @description Seconds since the Unix epoch */
                to_s: number;
            }[];
            period_s: number | null;
            amplitude_K: number | null;
            floodbackLimit_K: number;
        };
        DistributionEvidence: {
            /** @constant */
            kind: "distribution";
            circuit: number;
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            binWidth_K: number;
            /** @description Lower edge of each bin of superheat */
            from_K: number[];
            /** @description Fraction of the time in each bin, 0..1 */
            share: number[];
            limit_K: number;
            /** @enum {string} */
            side: "under" | "over";
            /** @description Fraction of steady running on that side of the limit */
            beyondFraction: number;
            /** @description Duration of the steady running in the distribution */
            steady_s: number;
        };
        StandstillEvidence: {
            /** @constant */
            kind: "standstill";
            circuit: number;
            sensor: string | null;
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            suctionSaturation_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargeSaturation_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            suctionTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargeTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            liquidTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            enteringWater_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            leavingWater_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            ambient_K: (number | null)[];
        };
        StartEvidence: {
            /** @constant */
            kind: "start";
            circuit: number;
            /** @description Seconds since the Unix epoch */
            startedAt_s: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            suctionPressure_Pa: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargePressure_Pa: (number | null)[];
        };
        StopsEvidence: {
            /** @constant */
            kind: "stops";
            circuit: number;
            /** @description Stops while normal was learned */
            usual: {
                /** @description Seconds since the Unix epoch, increasing */
                time_s: number[];
                /** @description Share of the difference of the two saturation temperatures that is left after ten minutes */
                left: (number | null)[];
            };
            since: {
                /** @description Seconds since the Unix epoch, increasing */
                time_s: number[];
                /** @description Share of the difference of the two saturation temperatures that is left after ten minutes */
                left: (number | null)[];
            };
            /** @description Median of the usual ones */
            usualLeft: number;
        };
        ComparedCircuit: {
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description In Pa or K, according to `quantity` */
            value: (number | null)[];
            running: boolean[];
        };
        BetweenCircuitsEvidence: {
            /** @constant */
            kind: "between-circuits";
            sensor: string;
            /** @enum {string} */
            quantity: "pressure" | "temperature";
            circuits: components["schemas"]["ComparedCircuit"][];
        };
        ValveAnswersEvidence: {
            /** @constant */
            kind: "valve-answers";
            sensor: string;
            /** @description Whose valve steps */
            circuit: number;
            /** @description The circuit whose sensor is compared */
            other: number;
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            /** @description Windows of two hours that it is based on */
            windows: number;
            lag_s: number[];
            /** @description Partial correlation of the valve’s steps with what the sensor of its own circuit reads a lag later */
            ofOwn: (number | null)[];
            /** @description The same of the other circuit’s sensor */
            ofOther: (number | null)[];
        };
        SignalEvidence: {
            /** @constant */
            kind: "signal";
            circuit: number;
            sensor: string;
            /** @enum {string} */
            quantity: "pressure" | "temperature";
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description In Pa or K, according to `quantity` */
            value: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            ambient_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            evaporating_K: (number | null)[];
            /** @description Whether the compressor ran at each time */
            running: boolean[];
        };
        /** @enum {string} */
        LoadedQuantity: "superheat" | "subcooling" | "opening" | "condensing";
        LoadedCircuit: {
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            load_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            superheat_K: (number | null)[];
            /** @description Superheat setpoint */
            setpoint_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            subcooling_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            opening_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            condensing_K: (number | null)[];
        };
        OverLoadEvidence: {
            /** @constant */
            kind: "over-load";
            /** @description When the finding was first seen: points from then on are marked */
            since_s: number;
            quantities: components["schemas"]["LoadedQuantity"][];
            /** @description One point for each window with steady running */
            circuits: components["schemas"]["LoadedCircuit"][];
        };
        WearEvidence: {
            /** @constant */
            kind: "wear";
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            day_s: number[];
            /** @description Reversals per day, scaled from the observed time to 24 h */
            reversals: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            travel_strokes: (number | null)[];
        };
        DepartureDots: {
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            x: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            value: (number | null)[];
        };
        DepartureCurve: {
            /**
             * @description Flows, powers and openings are shares of their highest usual value
             * @enum {string}
             */
            quantity: "condenserApproach_K" | "evaporatorApproach_K" | "subcooling_K" | "superheat_K" | "dischargeSuperheat_K" | "condenserDifference_K" | "evaporatorDifference_K" | "condenserFlow_m3_s" | "evaporatorFlow_m3_s" | "compressorPower_W" | "heatBalance_K" | "valveOpening_pct" | "compressorLoad_pct";
            /** @description Mean departure in standard uncertainties */
            z: number;
            /** @description 19 of 20 normal plateaus lie from low to high */
            band: {
                x: number[];
                expected: number[];
                low: number[];
                high: number[];
            };
            then: components["schemas"]["DepartureDots"];
            now: components["schemas"]["DepartureDots"];
        };
        DepartureEvidence: {
            /** @constant */
            kind: "departure";
            circuit: number;
            /** @description Seconds since the Unix epoch */
            learnedFrom_s: number;
            /** @description Seconds since the Unix epoch */
            learnedUntil_s: number;
            /** @description Normal is what so many like units do, no past of its own; null: its own past */
            likeUnits: number | null;
            /** @description When it was first seen */
            since_s: number;
            /** @description What the quantities are drawn over: the load as a share of full load, else in SI units */
            predictor: ("load" | "sink" | "source" | "unitHeat" | "condensing" | "setpoint" | "fan" | "evaporatorFlow" | "condenserFlow") | null;
            curves: components["schemas"]["DepartureCurve"][];
        };
        DischargeEvidence: {
            /** @constant */
            kind: "discharge";
            module: number;
            /** @description Seconds since the Unix epoch */
            startedAt_s: number;
            /** @description Seconds from the start of the closing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            voltage_V: (number | null)[];
            /** @description Calculated for the module when new, with the same current */
            voltageWhenNew_V: (number | null)[];
            capacitance_F: number | null;
            capacitanceWhenNew_F: number | null;
            /** @enum {string} */
            whenNewFrom: "own" | "rated";
            minimumVoltage_V: number;
        };
        ReserveDate: {
            limit: number;
            /** @description Seconds since the Unix epoch */
            p10_s: number;
            /** @description Seconds since the Unix epoch */
            p50_s: number;
            /** @description Seconds since the Unix epoch */
            p90_s: number;
        };
        ReserveEvidence: {
            /** @constant */
            kind: "reserve";
            module: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            reserve: (number | null)[];
            /** @description As the finding says it; null: not known */
            now: number | null;
            limits: components["schemas"]["ReserveDate"][];
            suddenAt_s: number | null;
        };
        ClosingEvidence: {
            /** @constant */
            kind: "closing";
            module: number;
            /** @description Seconds since the Unix epoch */
            startedAt_s: number;
            /** @description Seconds from the start of the closing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            valveOpening_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            voltage_V: (number | null)[];
            minimumVoltage_V: number;
        };
        LossEvidence: {
            /** @constant */
            kind: "power-loss";
            module: number;
            /** @description Seconds since the Unix epoch */
            from_s: number;
            to_s: number | null;
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            superheat_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpening_pct: (number | null)[];
            floodbackLimit_K: number;
            /** @description When the circuit ran again; null: that was not seen */
            restartAt_s: number | null;
            /** @description Lowest superheat in the first ten minutes after the restart */
            restartLowest_K: number | null;
            /** @description Seconds since the Unix epoch, increasing */
            moduleTime_s: number[];
            /** @description Column of a series; null where no value was sent */
            voltage_V: (number | null)[];
        };
        RestingEvidence: {
            /** @constant */
            kind: "resting";
            module: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            voltage_V: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            current_A: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            health: (number | null)[];
            ratedVoltage_V: number;
            minimumVoltage_V: number;
            floatLimit_A: number | null;
        };
        HeardCircuit: {
            circuit: number;
            /** @description Start of each bin that has readings */
            time_s: number[];
            /** @description Readings of the bin, as a part of the most that a bin has */
            share: number[];
        };
        SilenceEvidence: {
            /** @constant */
            kind: "silence";
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            width_s: number;
            /** @description What does not come: a circuit or one signal of it; null: the unit, all signals */
            of: {
                circuit: number | null;
                signal: string | null;
            };
            circuits: components["schemas"]["HeardCircuit"][];
        };
        NoEvidence: {
            /** @constant */
            kind: "none";
            /** @description Why there is no picture */
            reason: string;
        };
        EvidenceData: components["schemas"]["SwingEvidence"] | components["schemas"]["DistributionEvidence"] | components["schemas"]["StandstillEvidence"] | components["schemas"]["StartEvidence"] | components["schemas"]["SignalEvidence"] | components["schemas"]["StopsEvidence"] | components["schemas"]["BetweenCircuitsEvidence"] | components["schemas"]["ValveAnswersEvidence"] | components["schemas"]["OverLoadEvidence"] | components["schemas"]["WearEvidence"] | components["schemas"]["DepartureEvidence"] | components["schemas"]["DischargeEvidence"] | components["schemas"]["ReserveEvidence"] | components["schemas"]["ClosingEvidence"] | components["schemas"]["LossEvidence"] | components["schemas"]["RestingEvidence"] | components["schemas"]["SilenceEvidence"] | components["schemas"]["NoEvidence"];
        FindingEvidence: {
            finding: string;
            condition: string;
            subject: components["schemas"]["FindingSubject"];
            /** @description Quantities that headline and reasons of the finding name; of those with one name the first */
            claim: {
                [key: string]: components["schemas"]["Quantity"];
            };
            data: components["schemas"]["EvidenceData"];
        };
        EvidenceList: {
            evidence: components["schemas"]["FindingEvidence"][];
        };
        CircuitEntry: {
            number: number;
            valve: {
                size: string;
                /** @description 0: not known */
                kv_m3_h: number;
                fullStroke_steps: number;
                rate_steps_s: number;
                motors: 1 | 2;
                ratedLife?: {
                    fullStrokes?: number;
                    reversals?: number;
                };
            };
            suctionPressure: {
                minimum: number;
                maximum: number;
                tolerance: number;
                /** @enum {string} */
                reference: "absolute" | "gauge";
            };
            dischargePressure: {
                minimum: number;
                maximum: number;
                tolerance: number;
                /** @enum {string} */
                reference: "absolute" | "gauge";
            };
            suctionTemperature: {
                minimum: number;
                maximum: number;
                tolerance: number;
            };
            dischargeTemperature: {
                minimum: number;
                maximum: number;
                tolerance: number;
            };
            liquidTemperature: {
                minimum: number;
                maximum: number;
                tolerance: number;
            };
            floodbackLimit_K: number;
            safetyMargin_K: number;
            refrigerantCharge_kg?: number;
            compressor?: {
                /** @enum {string} */
                kind?: "scroll" | "screw" | "reciprocating" | "rotary" | "centrifugal";
                displacement_m3_s?: number;
                ratedPower_W?: number;
            };
            assumed?: string[];
        };
        ModuleEntry: {
            number: number;
            circuits: number[];
            cellsInSeries: number;
            ratedVoltage_V: number;
            minimumVoltage_V: number;
            ratedCapacitance_F: number;
            ratedEsr_Ohm: number;
            drivePower_W: number;
            overdrive_pct: number;
            /** Format: date */
            installedOn: string;
            assumed?: string[];
        };
        SparkplugPoint: {
            group: string;
            /** @description Edge node */
            edge: string;
            /** @description Left out: a metric of the edge node itself */
            device?: string;
            metric: string;
            /**
             * @description Which part of the unit it belongs to
             * @enum {string}
             */
            stream: "circuits" | "water" | "condenser" | "backup";
            /** @description Of the circuit or backup module */
            number?: number;
            /** @description Name of the telemetry contract */
            quantity: string;
            /** @description In which it is sent */
            unit: string;
            /** @description What the number sent is multiplied by first; default 1 */
            scale?: number;
        };
        ModuleLatest: {
            /** @description Seconds since the Unix epoch */
            time_s: number;
            voltage_V: number | null;
            current_A: number | null;
            temperature_K: number | null;
            mains: boolean | null;
            /** @description Health contact of the module; true: good */
            health: boolean | null;
        };
        Range: {
            p10: number;
            p50: number;
            p90: number;
        };
        ReservePoint: {
            /** @description Seconds since the Unix epoch */
            time_s: number;
            /** @description For a closing from fully open at the lowest temperature seen */
            reserve: number;
            uncertainty: number | null;
            /** @description Number of tests of which this point is the median: one for recent points, several for older ones */
            tests: number;
            /** @description Whether one of these tests is a proof closing: the valve was seen to travel and to end shut */
            proof: boolean;
        };
        ReserveCase: {
            /** @enum {string} */
            situation: "fully-open-coldest" | "fully-open-now" | "present-opening";
            reserve: number;
            interval: {
                p10: number;
                p90: number;
            };
            usableEnergy_J: number;
            closingEnergy_J: number;
            temperature_K: number;
            opening_pct: number;
            voltage_V: number;
            capacitance_F: number;
            esr_Ohm: number;
        };
        ReserveNow: {
            /** @constant */
            state: "known";
            /** @description Worst case first; the first is the closing reserve */
            cases: components["schemas"]["ReserveCase"][];
            closings: number;
            /** @description Seconds since the Unix epoch */
            lastClosing_s: number;
            /** @enum {string} */
            esrFrom: "measured" | "rated";
            basedOn: components["schemas"]["Statement"][];
        } | {
            /** @constant */
            state: "unknown";
            reason: components["schemas"]["Statement"];
        };
        LimitDate: {
            limit: number;
            /** @enum {string} */
            state: "forecast" | "already-under" | "beyond-horizon";
            date_s: components["schemas"]["Range"] | null;
            /** @description P90 is beyond the forecast horizon */
            openEnded: boolean;
        };
        ReserveForecast: {
            /** @constant */
            state: "forecast";
            /** @description Loss per year as a fraction of the present reserve */
            lossPerYear: components["schemas"]["Range"];
            limits: components["schemas"]["LimitDate"][];
            /** @description Seconds since the Unix epoch */
            horizon_s: number;
            basedOn: components["schemas"]["Statement"][];
        } | {
            /** @constant */
            state: "refused";
            /** @enum {string} */
            reason: "too-few-tests" | "too-short-a-time" | "slope-not-distinguishable" | "changed-suddenly" | "no-temperature" | "beyond-horizon";
            sentence: components["schemas"]["Statement"];
        };
        ProofState: {
            /** @constant */
            state: "proven";
            /** @description Seconds since the Unix epoch */
            lastProof_s: number;
            age_s: number;
            /** @enum {string} */
            kind: "self-test" | "power-loss";
        } | {
            /** @constant */
            state: "unproven";
            /** @enum {string} */
            reason: "no-closing" | "too-old" | "telemetry-too-coarse" | "did-not-shut" | "no-travel";
            lastProof_s: number | null;
            sentence: components["schemas"]["Statement"];
        };
        ModuleAssessment: {
            module: number;
            /** @description Seconds since the Unix epoch */
            assessedAt_s: number;
            reserve: components["schemas"]["ReserveNow"];
            reserveHistory: components["schemas"]["ReservePoint"][];
            forecast: components["schemas"]["ReserveForecast"];
            proof: components["schemas"]["ProofState"];
            leakage: {
                /** @enum {string} */
                state: "normal" | "leaking" | "unknown";
                floatCurrent_A: number | null;
                decayCurrent_A: number | null;
                limit_A: number;
                timeToUnable_s: number | null;
            };
            weakCell: {
                /** @enum {string} */
                state: "none-seen" | "suspected" | "unknown";
                sign: ("shorted-cell" | "lost-cell-capacitance" | "decay-stops-after-one-cell") | null;
                cellsAffected: number | null;
            };
            charger: {
                /** @enum {string} */
                state: "reaches" | "under-voltage" | "unknown";
                voltage_V: number | null;
                target_V: number;
            };
            health: {
                /** @enum {string} */
                state: "good" | "fault" | "stuck" | "unknown";
                since_s: number | null;
                /** @description Why the health contact is taken to be stuck */
                sign?: ("good-under-minimum-voltage" | "good-without-reserve" | "no-longer-follows") | null;
            };
            /** @description Present value at 298.15 K and the usual current */
            capacitance_F: number | null;
            esr_Ohm: number | null;
            /** @description Date of installation in the registry at the time of the assessment */
            installedOn: string;
            baseline: {
                capacitance_F: number | null;
                esr_Ohm: number | null;
                /** @enum {string} */
                from: "own" | "rated";
                tests: number;
            };
            temperatureLaw: {
                capacitancePerK: number;
                capacitancePerKUncertainty: number;
                esrPerK: number;
                esrPerKUncertainty: number;
                /** @enum {string} */
                from: "learned" | "prior";
                span_K: number;
            };
            suddenChange: {
                /** @description Seconds since the Unix epoch */
                at_s: number;
                tests: number;
                capacitanceRatio: number | null;
                esrRatio: number | null;
                reserveRatio: number;
            } | null;
            weightedAge_d: number | null;
            lowestTemperature_K: number | null;
        };
        ModuleOverview: {
            number: number;
            entry: components["schemas"]["ModuleEntry"];
            latest: components["schemas"]["ModuleLatest"] | null;
            /** @description null: not assessed yet. On the unit page `reserveHistory` holds at most 120 points */
            assessment: components["schemas"]["ModuleAssessment"] | null;
        };
        ClosingJudgement: {
            /** @description Seconds since the Unix epoch */
            startedAt_s: number;
            /** @enum {string} */
            kind: "self-test" | "power-loss";
            kindSeen: boolean;
            temperature_K: number | null;
            samples: number;
            sampling_s: number | null;
            capacitance_F: number | null;
            capacitanceUncertainty_F: number | null;
            capacitanceMethod: ("iec-window" | "least-squares") | null;
            esr_Ohm: number | null;
            esrUncertainty_Ohm: number | null;
            current_A: number | null;
            drivePower_W: number | null;
            voltageBefore_V: number | null;
            voltageAfter_V: number | null;
            voltageLowest_V: number | null;
            energyUsed_J: number | null;
            driveTime_s: number | null;
            openingBefore_pct: number | null;
            openingAfter_pct: number | null;
            timeToShut_s: number | null;
            /** @description null: not known from the telemetry */
            shut: boolean | null;
            proof: boolean;
            energyExpected_J: number | null;
            /** @description Reasons for values that are missing */
            limits: components["schemas"]["Statement"][];
        };
        ClosingRow: {
            /** @description Seconds since the Unix epoch */
            startedAt_s: number;
            /** @enum {string} */
            kind: "self-test" | "power-loss";
            capacitance_F: number | null;
            esr_Ohm: number | null;
            temperature_K: number | null;
            /** @description null: not known from the telemetry */
            shut: boolean | null;
            proof: boolean;
            energyUsed_J: number | null;
            timeToShut_s: number | null;
            voltageBefore_V: number | null;
            voltageAfter_V: number | null;
        };
        ModuleDetail: {
            site: components["schemas"]["SiteReference"];
            unit: components["schemas"]["UnitReference"];
            /** @description With the complete `reserveHistory` */
            module: components["schemas"]["ModuleOverview"];
            /** @description As measured, in time order */
            closings: components["schemas"]["ClosingRow"][];
            findings: components["schemas"]["Finding"][];
            cautions: string[];
            assessedAt: string | null;
        };
        ClosingDetail: {
            judgement: components["schemas"]["ClosingJudgement"];
            curve: {
                /** @description Seconds from the start of the closing */
                time_s: number[];
                /** @description Column of a series; null where no value was sent */
                voltage_V: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                current_A: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                valveOpening_pct: (number | null)[];
            };
            /** @description Discharge calculated from the estimated capacitance and ESR and the measured current; null: no estimate */
            fit: {
                time_s: number[];
                /** @description Column of a series; null where no value was sent */
                voltage_V: (number | null)[];
            } | null;
        };
        CircuitLossReview: {
            circuit: number;
            openingBefore_pct: number | null;
            openingAfter_pct: number | null;
            suctionPressureBefore_Pa: number | null;
            dischargePressureBefore_Pa: number | null;
            /** @description Time until the difference between high and low side was halved */
            pressureHalved_s: number | null;
            /** @description Time until the difference was below 5 % */
            pressureMet_s: number | null;
            /** @description Upper bound from the orifice equation and, where the registry has it, the charge; null: not known */
            refrigerantPassedAtMost_kg: number | null;
            /** @description Whether the charge, and not the orifice, limits that bound */
            wholeChargeCanHavePassed: boolean;
            restartAt_s: number | null;
            /** @description Lowest superheat in the first ten minutes after the restart */
            restartLeastSuperheat_K: number | null;
            /** @description Time below the floodback limit in those ten minutes */
            restartUnderFloodback_s: number | null;
        };
        PowerLoss: {
            module: number;
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description null: mains still off at the last reading */
            to_s: number | null;
            duration_s: number | null;
            closingSent: boolean;
            shut: boolean | null;
            openingBefore_pct: number | null;
            openingAfter_pct: number | null;
            timeToShut_s: number | null;
            voltageBefore_V: number | null;
            voltageAfter_V: number | null;
            energyUsed_J: number | null;
            circuits: components["schemas"]["CircuitLossReview"][];
            /** @enum {string} */
            outcome: "shut" | "did-not-shut" | "floodback-at-restart" | "unknown";
            verdict: components["schemas"]["Statement"];
            caution: components["schemas"]["Statement"];
        };
        PowerLossList: {
            /** @description Newest first */
            powerLosses: components["schemas"]["PowerLoss"][];
        };
        CircuitReplay: {
            circuit: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            superheat_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpening_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            suctionPressure_Pa: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargePressure_Pa: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            compressorLoad_pct: (number | null)[];
            floodbackLimit_K: number;
        };
        PowerLossReplay: {
            powerLoss: components["schemas"]["PowerLoss"];
            /** @description Finely sampled; null: none was sent */
            closing: {
                /** @description Seconds since the Unix epoch, increasing */
                time_s: number[];
                /** @description Column of a series; null where no value was sent */
                voltage_V: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                current_A: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                valveOpening_pct: (number | null)[];
            } | null;
            /** @description From ten minutes before the loss to thirty minutes after the mains came back */
            circuits: components["schemas"]["CircuitReplay"][];
            backup: {
                /** @description Seconds since the Unix epoch, increasing */
                time_s: number[];
                /** @description Column of a series; null where no value was sent */
                voltage_V: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                mains: (number | null)[];
            };
        };
        CauseAccuracy: {
            /** @enum {string} */
            cause: "loop-tuned-too-hard" | "valve-too-large" | "valve-too-small" | "valve-friction" | "valve-offset" | "valve-leaks-by" | "tandem-mismatch" | "load-swings" | "circuits-disturb-each-other" | "setpoint-under-steady-floor" | "setpoint-too-high" | "measurement-noise" | "missing-refrigerant" | "excess-refrigerant" | "gas-in-circuit" | "condenser-fouled" | "condenser-flow-low" | "evaporator-fouled" | "evaporator-flow-low" | "liquid-line-restricted" | "compressor-weak" | "sensor-wrong" | "sensors-swapped" | "registry-wrong" | "capacitor-worn" | "capacitor-cell-weak" | "charger-weak" | "module-leaks" | "module-unproven" | "something-else";
            name: string;
            certainty: components["schemas"]["Certainty"];
            visits: number;
            /** @description Visits that saw the cause that was said to be likeliest */
            confirmed: number;
            otherCause: number;
            nothingFound: number;
            /** @description 95 % interval (Jeffreys) of the fraction of visits that confirm it */
            interval: {
                low: number;
                high: number;
            };
        };
        Accuracy: {
            all: {
                visits: number;
                /** @description Visits that saw the cause that was said to be likeliest */
                confirmed: number;
                otherCause: number;
                nothingFound: number;
                /** @description 95 % interval (Jeffreys) of the fraction of visits that confirm it */
                interval: {
                    low: number;
                    high: number;
                };
            };
            /** @description Visits before which no cause was said; not counted above */
            withoutCause: number;
            causes: components["schemas"]["CauseAccuracy"][];
        };
        SeenOnVisit: {
            /** @constant */
            kind: "cause";
            /** @enum {string} */
            cause: "loop-tuned-too-hard" | "valve-too-large" | "valve-too-small" | "valve-friction" | "valve-offset" | "valve-leaks-by" | "tandem-mismatch" | "load-swings" | "circuits-disturb-each-other" | "setpoint-under-steady-floor" | "setpoint-too-high" | "measurement-noise" | "missing-refrigerant" | "excess-refrigerant" | "gas-in-circuit" | "condenser-fouled" | "condenser-flow-low" | "evaporator-fouled" | "evaporator-flow-low" | "liquid-line-restricted" | "compressor-weak" | "sensor-wrong" | "sensors-swapped" | "registry-wrong" | "capacitor-worn" | "capacitor-cell-weak" | "charger-weak" | "module-leaks" | "module-unproven" | "something-else";
        } | {
            /** @constant */
            kind: "other";
            words: string;
        } | {
            /** @constant */
            kind: "nothing";
        };
        DecisionWish: {
            /** @constant */
            kind: "hand-over";
            /** @description `version` of the plan that whoever decides has seen; 0: none */
            version: number;
            /**
             * Format: uuid
             * @description Made by the sender, so that the same sent twice counts once
             */
            key?: string;
            assignee: number;
            /**
             * Format: date
             * @description Calendar day at the site of the unit
             */
            due: string;
            reason?: string | null;
        } | {
            /** @constant */
            kind: "put-off";
            /** @description `version` of the plan that whoever decides has seen; 0: none */
            version: number;
            /**
             * Format: uuid
             * @description Made by the sender, so that the same sent twice counts once
             */
            key?: string;
            reason: string;
            /** @description null: until it gets more urgent */
            until: string | null;
        } | {
            /** @constant */
            kind: "accept";
            /** @description `version` of the plan that whoever decides has seen; 0: none */
            version: number;
            /**
             * Format: uuid
             * @description Made by the sender, so that the same sent twice counts once
             */
            key?: string;
            /**
             * Format: date
             * @description Calendar day at the site of the unit
             */
            review: string;
            reason: string;
        } | {
            /** @constant */
            kind: "close";
            /** @description `version` of the plan that whoever decides has seen; 0: none */
            version: number;
            /**
             * Format: uuid
             * @description Made by the sender, so that the same sent twice counts once
             */
            key?: string;
            seen: components["schemas"]["SeenOnVisit"];
            done: string;
            parts?: string[];
            readings?: {
                circuit: number;
                /** @enum {string} */
                quantity: "suction-pressure" | "discharge-pressure" | "suction-temperature" | "discharge-temperature" | "liquid-temperature";
                /** @description Pa or K */
                value: number;
                /** @description When it was read, seconds since the Unix epoch */
                at_s: number;
                /**
                 * @description Of a pressure; left out: absolute
                 * @enum {string}
                 */
                reference?: "gauge" | "absolute";
            }[];
        } | {
            /** @constant */
            kind: "note";
            /**
             * Format: uuid
             * @description Made by the sender, so that the same sent twice counts once
             */
            key?: string;
            text: string;
        };
        ComparedReading: {
            circuit: number;
            /** @enum {string} */
            quantity: "suction-pressure" | "discharge-pressure" | "suction-temperature" | "discharge-temperature" | "liquid-temperature";
            /** @description Pa or K */
            value: number;
            /** @description When it was read, seconds since the Unix epoch */
            at_s: number;
            /** @description Mean of the samples within a minute */
            telemetry: number | null;
            samples: number;
            /** @description Telemetry less the value read by hand */
            difference: number | null;
            /** @description Expanded uncertainty of the difference, coverage factor 2 */
            uncertainty: number | null;
            /** @enum {string} */
            verdict: "agrees" | "differs" | "no-telemetry";
        };
        Decided: {
            /** @constant */
            kind: "hand-over";
            assignee: number;
            due: string;
            reason: string | null;
        } | {
            /** @constant */
            kind: "put-off";
            until: string | null;
            reason: string;
        } | {
            /** @constant */
            kind: "accept";
            review: string;
            reason: string;
        } | {
            /** @constant */
            kind: "close";
            seen: components["schemas"]["SeenOnVisit"];
            done: string;
            parts: string[];
            readings: components["schemas"]["ComparedReading"][];
        } | {
            /** @constant */
            kind: "note";
            text: string;
        };
        VisitOutcome: {
            /** @constant */
            kind: "watching";
        } | {
            /** @constant */
            kind: "gone";
            since_s: number;
        } | {
            /** @constant */
            kind: "unchanged";
            since_s: number;
        } | {
            /** @constant */
            kind: "came-back";
            after_s: number;
        };
        Standing: {
            finding: string;
            version: number;
            /** @enum {string} */
            kind: "open" | "handed-over" | "put-off" | "accepted" | "closed";
            /** @description It was put off, accepted or closed and is to be looked at again, because of this */
            back: ("date" | "urgency" | "unchanged") | null;
            overdue: boolean;
            /** @description It can wait for now */
            deferred: boolean;
            /** @description After a visit: what became of it */
            outcome: components["schemas"]["VisitOutcome"] | null;
            by: {
                id: number;
                name: string;
            };
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            at: string;
            assignee: {
                id: number;
                name: string;
            } | null;
            /** @description Day of the hand-over or of coming back, at the site */
            due: string | null;
            reason: string | null;
            seen: components["schemas"]["SeenOnVisit"] | null;
            /** @description Of the finding when it was decided */
            headline: components["schemas"]["Statement"];
            subject: components["schemas"]["FindingSubject"];
            /** @description null while the finding is open */
            endedAt: string | null;
        };
        StandingList: {
            standings: components["schemas"]["Standing"][];
        };
        Decision: {
            id: number;
            /** @enum {string} */
            kind: "hand-over" | "put-off" | "accept" | "close" | "note";
            by: {
                id: number;
                name: string;
            };
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            at: string;
            decided: components["schemas"]["Decided"];
        };
        FindingDecisions: {
            finding: string;
            /** @description To be sent with the next decision */
            version: number;
            /** @description null: nothing was decided yet */
            standing: components["schemas"]["Standing"] | null;
            /** @description The cause that is said to be likeliest */
            said: {
                /** @enum {string} */
                cause: "loop-tuned-too-hard" | "valve-too-large" | "valve-too-small" | "valve-friction" | "valve-offset" | "valve-leaks-by" | "tandem-mismatch" | "load-swings" | "circuits-disturb-each-other" | "setpoint-under-steady-floor" | "setpoint-too-high" | "measurement-noise" | "missing-refrigerant" | "excess-refrigerant" | "gas-in-circuit" | "condenser-fouled" | "condenser-flow-low" | "evaporator-fouled" | "evaporator-flow-low" | "liquid-line-restricted" | "compressor-weak" | "sensor-wrong" | "sensors-swapped" | "registry-wrong" | "capacitor-worn" | "capacitor-cell-weak" | "charger-weak" | "module-leaks" | "module-unproven" | "something-else";
                weight: number;
            } | null;
            decisions: components["schemas"]["Decision"][];
        };
        CauseList: {
            causes: {
                /** @enum {string} */
                cause: "loop-tuned-too-hard" | "valve-too-large" | "valve-too-small" | "valve-friction" | "valve-offset" | "valve-leaks-by" | "tandem-mismatch" | "load-swings" | "circuits-disturb-each-other" | "setpoint-under-steady-floor" | "setpoint-too-high" | "measurement-noise" | "missing-refrigerant" | "excess-refrigerant" | "gas-in-circuit" | "condenser-fouled" | "condenser-flow-low" | "evaporator-fouled" | "evaporator-flow-low" | "liquid-line-restricted" | "compressor-weak" | "sensor-wrong" | "sensors-swapped" | "registry-wrong" | "capacitor-worn" | "capacitor-cell-weak" | "charger-weak" | "module-leaks" | "module-unproven" | "something-else";
                name: string;
            }[];
        };
        NoticeWish: {
            /** @description When the digest is due by the clock of `timeZone`; null: no digest */
            digestAt: string | null;
            /** @description Days of the digest as ISO 8601 counts them: 1 is Monday */
            digestDays: number[];
            /** @description At once, when a unit needs a look today */
            alerts: boolean;
            /** @description No alerts from one time to the other, also over midnight */
            quiet: {
                /** @description Time of day, 00:00 to 23:59 */
                from: string;
                /** @description Time of day, 00:00 to 23:59 */
                until: string;
            } | null;
            /** @description IANA name, such as Europe/Lisbon */
            timeZone: string;
            /** @enum {string} */
            measures: "si" | "inch-pound";
        };
        SentMessage: {
            id: number;
            /** @enum {string} */
            kind: "digest" | "alert" | "test" | "event";
            /** @description Name of the person or webhook */
            to: string;
            about: string;
            /** @enum {string} */
            state: "waiting" | "sent" | "given-up";
            attempts: number;
            lastError: string | null;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            madeAt: string;
            /** @description When it was taken by the other side, or given up */
            endedAt: string | null;
            /** @description After a failure */
            nextTry: string | null;
        };
        OwnNotices: {
            /** @description Where messages go; null: this account has no address */
            email: string | null;
            /** @description Whether this server has a mail server to send by */
            mailServer: boolean;
            wish: components["schemas"]["NoticeWish"];
            /** @description The last ones to this person */
            messages: components["schemas"]["SentMessage"][];
        };
        MailState: {
            /** @description As the settings have it; null: none is set, and nothing is sent */
            server: {
                host: string;
                port: number;
                /** @enum {string} */
                tls: "starttls" | "implicit" | "off";
                user: string | null;
                from: string;
            } | null;
            waiting: number;
            /** @description Given up */
            dead: number;
            lastSent: string | null;
        };
        MailCheck: {
            ok: boolean;
            problem: string | null;
        };
        DeadLetterList: {
            /** @description Messages that were given up, the newest first */
            letters: components["schemas"]["SentMessage"][];
        };
        Webhook: {
            id: number;
            name: string;
            address: string;
            /** @description needs-a-look-today, more-urgent, less-urgent: the place of a unit on the round; decided: a decision on a finding */
            events: ("needs-a-look-today" | "more-urgent" | "less-urgent" | "decided")[];
            active: boolean;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            madeAt: string;
        };
        WebhookList: {
            webhooks: components["schemas"]["Webhook"][];
        };
        WebhookWish: {
            name: string;
            address: string;
            /** @description needs-a-look-today, more-urgent, less-urgent: the place of a unit on the round; decided: a decision on a finding */
            events: ("needs-a-look-today" | "more-urgent" | "less-urgent" | "decided")[];
        };
        WebhookChange: {
            name: string;
            address: string;
            /** @description needs-a-look-today, more-urgent, less-urgent: the place of a unit on the round; decided: a decision on a finding */
            events: ("needs-a-look-today" | "more-urgent" | "less-urgent" | "decided")[];
            active: boolean;
        };
        WebhookSecret: {
            webhook: components["schemas"]["Webhook"];
            /** @description Signs what is sent, by Standard Webhooks; shown here and never again */
            secret: string;
        };
        DeliveryList: {
            /** @description The last messages to a webhook */
            deliveries: components["schemas"]["SentMessage"][];
        };
        PlannedFinding: {
            finding: string;
            /** @description Of the finding when it was handed over */
            headline: components["schemas"]["Statement"];
            subject: components["schemas"]["FindingSubject"];
            /** @description As it is now */
            urgency: components["schemas"]["Urgency"];
            /** @description Calendar day at the site */
            due: string;
            overdue: boolean;
            reason: string | null;
            /** @description Who handed it over */
            by: string;
        };
        AlsoDue: {
            unit: {
                key: string;
                name: string;
            };
            headline: components["schemas"]["Statement"];
            urgency: components["schemas"]["Urgency"];
            /** @description Who has it; null: nobody */
            assignee: string | null;
        };
        PlannedSite: {
            site: components["schemas"]["SiteReference"];
            /** @description The earliest day on which something of it is due */
            due: string;
            units: {
                unit: {
                    key: string;
                    name: string;
                };
                findings: components["schemas"]["PlannedFinding"][];
            }[];
            /** @description What else asks for a visit there */
            alsoDue: components["schemas"]["AlsoDue"][];
        };
        DayPlan: {
            person: {
                id: number;
                name: string;
            };
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            asOf: string;
            findings: number;
            overdue: number;
            /** @description In the order of the earliest day on which something is due there */
            sites: components["schemas"]["PlannedSite"][];
        };
        CalendarAddress: {
            /** @description null: there is none */
            address: {
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                madeAt: string;
                usedAt: string | null;
            } | null;
        };
        NewCalendarAddress: {
            /** @description Path on this server, shown only now; whoever knows it reads the calendar */
            path: string;
        };
        Estimate: {
            value: number;
            /** @description Standard uncertainty */
            uncertainty: number;
        };
        Money: {
            /** @description ISO 4217 */
            currency: string;
            value: number;
            /** @description Standard uncertainty */
            uncertainty: number;
        };
        CircuitEnergy: {
            circuit: number;
            /** @description Of the open findings that it follows from */
            conditions: string[];
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            /** @description Stretches of steady running that it is based on */
            plateaus: number;
            /** @description Evaporating temperature lower than it could be */
            evaporatingLost_K: components["schemas"]["Estimate"] | null;
            /** @description Against the learned normal, or by superheat that could be lower */
            evaporatingFrom: ("departure" | "superheat") | null;
            /** @description Condensing temperature higher than the learned normal */
            condensingGained_K: components["schemas"]["Estimate"] | null;
            /** @description Share of the compressors' energy */
            share: components["schemas"]["Estimate"] | null;
            /** @description The same by the departure from normal alone */
            shareAgainstNormal: components["schemas"]["Estimate"] | null;
            power_W: components["schemas"]["Estimate"] | null;
            powerFrom: ("measured" | "water-heat" | "rated-capacity") | null;
            running_h_week: number;
            energy_J_week: components["schemas"]["Estimate"] | null;
            /** @description null: the site has no price or no currency */
            cost_week: components["schemas"]["Money"] | null;
            assumptions: components["schemas"]["Statement"][];
            /** @description Why no energy is told */
            missing: components["schemas"]["Statement"] | null;
        };
        UnitEnergy: {
            site: string;
            unit: string;
            /** @description Energy of the compressors given away in a week while nobody acts; null: not told */
            givenAway_J_week: components["schemas"]["Estimate"] | null;
            /** @description null: the site has no price or no currency */
            givenAwayCost_week: components["schemas"]["Money"] | null;
            circuits: components["schemas"]["CircuitEnergy"][];
            /** @description Since visits that put something right, measured against the normal of before */
            saved: {
                /** @description That a visit closed */
                finding: string;
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                since: string;
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                until: string;
                energy_J: components["schemas"]["Estimate"];
                cost: components["schemas"]["Money"] | null;
            }[];
        };
        UnitEnergyList: {
            units: components["schemas"]["UnitEnergy"][];
        };
        SiteEnergy: {
            site: string;
            name: string;
            /** @description Units of which something is told */
            units: number;
            /** @description Energy of the compressors given away in a week while nobody acts; null: not told */
            givenAway_J_week: components["schemas"]["Estimate"] | null;
            /** @description Saved in the last 365 days since visits put things right */
            saved_J: components["schemas"]["Estimate"] | null;
            givenAwayCost_week: components["schemas"]["Money"] | null;
            savedCost: components["schemas"]["Money"] | null;
        };
        FleetEnergy: {
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            asOf: string;
            /** @description Units of which something is told */
            units: number;
            /** @description Energy of the compressors given away in a week while nobody acts; null: not told */
            givenAway_J_week: components["schemas"]["Estimate"] | null;
            /** @description Saved in the last 365 days since visits put things right */
            saved_J: components["schemas"]["Estimate"] | null;
            /** @description By currency */
            givenAwayCost_week: components["schemas"]["Money"][];
            /** @description By currency */
            savedCost: components["schemas"]["Money"][];
            /** @description Sites whose energy has no price in the registry */
            withoutPrice: number;
            sites: components["schemas"]["SiteEnergy"][];
        };
        ReportedProblem: {
            unit: {
                key: string;
                name: string;
            };
            cause: components["schemas"]["Cause"];
            subject: components["schemas"]["FindingSubject"];
            urgency: components["schemas"]["Urgency"];
            certainty: components["schemas"]["Certainty"];
            /** @description What a person must mind besides the cautions of every visit */
            cautions: string[];
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            openedAt: string;
            /** @description null: it is open */
            endedAt: string | null;
            /** @description null: nothing was decided */
            plan: {
                /** @enum {string} */
                kind: "open" | "handed-over" | "put-off" | "accepted" | "closed";
                /** @description Calendar day at the site */
                due: string | null;
                /** @description It is to be looked at again */
                back: boolean;
            } | null;
        };
        ReportedVisit: {
            unit: {
                key: string;
                name: string;
            };
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            at: string;
            by: string;
            subject: components["schemas"]["FindingSubject"];
            seen: components["schemas"]["SeenOnVisit"];
            done: string;
            parts: string[];
            outcome: components["schemas"]["VisitOutcome"] | null;
        };
        ReportedModule: {
            unit: {
                key: string;
                name: string;
            };
            module: number;
            /** @description Closings in these days that could be judged */
            closings: number;
            /** @description Those in which the valve was seen to shut on stored energy */
            proofs: number;
            lastProofAt: string | null;
        };
        SiteReport: {
            site: components["schemas"]["SiteReference"];
            from: string;
            to: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            madeAt: string;
            /** @description Problems that began in these days or are still there, without those that are only watched */
            found: components["schemas"]["ReportedProblem"][];
            visits: components["schemas"]["ReportedVisit"][];
            closings: components["schemas"]["ReportedModule"][];
            energy: {
                /** @description As of now */
                givenAway_J_week: components["schemas"]["Estimate"] | null;
                givenAwayCost_week: components["schemas"]["Money"] | null;
                /** @description In these days, since visits put things right */
                saved_J: components["schemas"]["Estimate"] | null;
                savedCost: components["schemas"]["Money"] | null;
            };
        };
        /** @enum {string} */
        PersonRole: "reader" | "technician" | "manager" | "engineer" | "administrator";
        PersonReference: {
            id: number;
            name: string;
            role: components["schemas"]["PersonRole"];
        };
        Session: {
            /**
             * @description accounts: people sign in; demo: this machine goes on as an invented person; set-up: no account has been made yet, whoever is at this machine may read
             * @enum {string}
             */
            mode: "accounts" | "demo" | "set-up";
            /** @description How the OpenID provider is called that people may sign in by; null: there is none */
            openId: string | null;
            /** @description null: nobody is signed in */
            person: {
                /** @description null: nobody by name */
                id: number | null;
                name: string;
                role: components["schemas"]["PersonRole"];
                /** @description Keys of the sites this person is limited to; null: all */
                sites: string[] | null;
                abilities: ("read" | "note" | "visit" | "plan" | "register" | "admit" | "metrics" | "administer")[];
                /**
                 * @description needed: the role needs one, and nothing else can be done before it is set up
                 * @enum {string}
                 */
                secondFactor: "none" | "on" | "needed";
            } | null;
            /** @description In the demo: the invented people */
            switchTo: components["schemas"]["PersonReference"][];
        };
        SignedOut: {
            /** @description Address at the OpenID provider that ends its session too; null: none */
            goOnTo: string | null;
        };
        SignIn: {
            email: string;
            password: string;
            /** @description Of the second factor, or a recovery code; asked for by 401 with `code` in `errors` */
            code?: string;
        };
        PersonSwitch: {
            person: number;
        };
        PasswordChange: {
            current: string;
            wanted: string;
        };
        PasswordShown: {
            password: string;
        };
        PasswordAndCodeShown: {
            password: string;
            code: string;
        };
        Code: {
            code: string;
        };
        SecondFactorEnrolment: {
            /** @description Base32, to be typed into an authenticator */
            secret: string;
            /** @description The same as an otpauth address, for a QR code */
            address: string;
        };
        RecoveryCodes: {
            /** @description Each works once; shown here and never again */
            recoveryCodes: string[];
        };
        RecoveryCodesLeft: {
            left: number;
        };
        ConfirmedSecondFactor: {
            session: components["schemas"]["Session"];
            /** @description Each works once; shown here and never again */
            recoveryCodes: string[];
        };
        SecondFactorRule: {
            /** @description Whose accounts with a password must have one */
            roles: components["schemas"]["PersonRole"][];
        };
        OwnSession: {
            id: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            startedAt: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            usedAt: string;
            /** @description Network address that it was begun from */
            address: string | null;
            openId: boolean;
            /** @description The one that asks */
            own: boolean;
        };
        OwnSessions: {
            sessions: components["schemas"]["OwnSession"][];
        };
        InvitationLook: {
            token: string;
        };
        Invitation: {
            /**
             * @description Makes an account, or sets a new password
             * @enum {string}
             */
            kind: "account" | "password";
            name: string | null;
            email: string | null;
        };
        Joining: {
            token: string;
            password: string;
            /** @description Where the invitation does not say it */
            name?: string;
            /** @description Where the invitation does not say it */
            email?: string;
        };
        Account: {
            id: number;
            name: string;
            email: string | null;
            role: components["schemas"]["PersonRole"];
            /** @description Keys of the sites this account is limited to; null: all */
            sites: string[] | null;
            /** @description One of the people of the demo */
            invented: boolean;
            active: boolean;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            createdAt: string;
            signedInAt: string | null;
            /** @description One is asked for at sign-in */
            secondFactor: boolean;
        };
        AccountList: {
            accounts: components["schemas"]["Account"][];
        };
        People: {
            people: components["schemas"]["PersonReference"][];
        };
        Invite: {
            name: string;
            email: string;
            role: components["schemas"]["PersonRole"];
            /** @description Keys of the sites this account is limited to; null: all */
            sites: string[] | null;
        };
        AccountChange: {
            name: string;
            role: components["schemas"]["PersonRole"];
            /** @description Keys of the sites this account is limited to; null: all */
            sites: string[] | null;
            active: boolean;
        };
        OneTimeLink: {
            /** @description Path of the page with the secret after #; it works once */
            path: string;
        };
        ApiToken: {
            id: number;
            name: string;
            scopes: ("read" | "note" | "visit" | "plan" | "register" | "metrics")[];
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            createdAt: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            expiresAt: string;
            usedAt: string | null;
            revokedAt: string | null;
        };
        ApiTokenList: {
            tokens: components["schemas"]["ApiToken"][];
        };
        ApiTokenWish: {
            name: string;
            scopes: ("read" | "note" | "visit" | "plan" | "register" | "metrics")[];
            /** @description How long it is valid */
            days: number;
        };
        NewApiToken: {
            token: components["schemas"]["ApiToken"];
            /** @description Shown here and never again */
            secret: string;
        };
        AuditEntry: {
            id: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            at: string;
            who: string;
            action: string;
            subject: string | null;
            detail: {
                [key: string]: unknown;
            };
            address: string | null;
        };
        AuditLog: {
            entries: components["schemas"]["AuditEntry"][];
            /** @description `before` of the next page; null: this is the last */
            next: number | null;
        };
        NearbySite: {
            key: string;
            name: string;
            /** @description As the crow flies */
            distance_m: number;
            /** @description Its units by their most urgent problem */
            byUrgency: {
                today: number;
                thisWeek: number;
                nextVisit: number;
                watch: number;
                quiet: number;
            };
        };
        NearbySites: {
            sites: components["schemas"]["NearbySite"][];
        };
        PortfolioRow: {
            /** @description Of the site, or the name of the region */
            key: string;
            name: string;
            region: string | null;
            sites: number;
            units: number;
            byUrgency: {
                today: number;
                thisWeek: number;
                nextVisit: number;
                watch: number;
                quiet: number;
            };
            /** @description Units that ask something of someone, now less 90 days ago; null: not known */
            change: number | null;
            modules: number;
            /** @description Modules lately seen to shut their valve on stored energy */
            proven: number;
            circuits: number;
            /** @description Circuits with a judged window in the last six hours */
            upToDate: number;
            /** @description Units that send nothing */
            silent: number;
            /** @description Samples of the last day that the intervals of its circuits promise, as of the page on data health */
            expected: number;
            /** @description Of these, samples that did not come */
            missing: number;
            /** @description Windows and closings that could not be judged */
            notJudged: number;
            /** @description Energy given away in a week while nobody acts; null: not told */
            givenAway_J_week: components["schemas"]["Estimate"] | null;
            /** @description By currency */
            givenAwayCost_week: components["schemas"]["Money"][];
        };
        Portfolio: {
            /** @enum {string} */
            by: "site" | "region";
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            asOf: string;
            judgingSince: string | null;
            units: number;
            /** @description What got worse and better in the last 30 days, by units; `known`: judging is older than that */
            month: {
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                since: string;
                known: boolean;
                counts: {
                    new: number;
                    worse: number;
                    better: number;
                    gone: number;
                };
            };
            /** @description What `change` of the rows is against; `known`: judging is older than that */
            change: {
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                since: string;
                known: boolean;
            };
            rows: components["schemas"]["PortfolioRow"][];
            /** @description Sites or regions, with whatever words */
            places: number;
            /** @description Of these, the ones with the words asked for */
            total: number;
            page: number;
            pages: number;
        };
        Refrigerant: {
            name: string;
            safetyClass: string;
            /** @description Mass fractions, 0..1; one entry for a pure substance */
            composition: {
                name: string;
                massFraction: number;
            }[];
            /** @description Dew less bubble temperature at 101.325 kPa */
            glide_K: number | null;
            minimumTemperature_K: number | null;
            maximumTemperature_K: number | null;
            /** @description Largest error of saturation temperature against the source of the table */
            maximumError_K: number | null;
            source: string;
        };
        RefrigerantList: {
            refrigerants: components["schemas"]["Refrigerant"][];
        };
        CircuitSeriesResponse: {
            from_s: number;
            to_s: number;
            /** @description Width of one point */
            resolution_s: number;
            /**
             * @description readings: samples, or their mean per point; rollup: two-minute summaries, the most recent part from readings
             * @enum {string}
             */
            source: "readings" | "rollup";
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            superheat_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            superheatMinimum_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            superheatMaximum_K: (number | null)[];
            /** @description One standard uncertainty at each point */
            superheatUncertainty_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            superheatSetpoint_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpening_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpeningMinimum_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            valveOpeningMaximum_pct: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            suctionPressure_Pa: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            suctionTemperature_K: (number | null)[];
            /** @description Dew side, from the mean pressure of the point */
            suctionSaturationTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargePressure_Pa: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            dischargeTemperature_K: (number | null)[];
            /** @description Dew side */
            dischargeSaturationTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            liquidTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            subcooling_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            compressorLoad_pct: (number | null)[];
            floodbackLimit_K: number;
            mainsLosses: {
                from_s: number;
                to_s: number | null;
            }[];
        };
        WaterSeriesResponse: {
            from_s: number;
            to_s: number;
            resolution_s: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            enteringTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            leavingTemperature_K: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            flow_m3_s: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            ambientTemperature_K: (number | null)[];
        };
        BackupSeriesResponse: {
            from_s: number;
            to_s: number;
            resolution_s: number;
            /** @description Seconds since the Unix epoch, increasing */
            time_s: number[];
            /** @description Column of a series; null where no value was sent */
            voltage_V: (number | null)[];
            /** @description Positive while the module delivers */
            current_A: (number | null)[];
            /** @description Column of a series; null where no value was sent */
            temperature_K: (number | null)[];
            /** @description 1: present */
            mains: (number | null)[];
            /** @description 1: good */
            health: (number | null)[];
        };
        /** @enum {string} */
        OperatingState: "standing" | "starting" | "steady" | "changing" | "stopping" | "reversed" | "defrost" | "pump-down" | "power-lost" | "silent";
        /** @description A day or a week of windows, weighed by their steady minutes */
        SpanSummary: {
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            windows: number;
            /** @description Minutes in each operating state */
            minutes: {
                [key: string]: number;
            };
            steadyMinutes: number;
            mean_K: number | null;
            spread_K: number | null;
            /** @description Lowest of the windows' first percentiles */
            lowest_K: number | null;
            /** @description Fraction of the steady time below the floodback limit, 0..1 */
            underLimitFraction: number | null;
            /** @description The same with superheat taken two standard uncertainties higher than measured */
            surelyUnderLimitFraction: number | null;
            starvedFraction: number | null;
            /** @description Mean of superheat less setpoint */
            offset_K: number | null;
            /** @description Fraction of the minutes judged for hunting, 0..1; null: none judged */
            huntingFraction: number | null;
            travel_strokes: number;
            reversals: number;
            /** @description Minutes of readings on which travel and reversals are based */
            observedMinutes: number;
        };
        FloorPart: {
            from: number;
            to: number;
            /** @description null: no steady floor can be given for this part */
            floor_K: number | null;
            uncertainty_K: number | null;
            huntedUpTo_K: number | null;
            /** @description false: the value is an upper bound of the steady floor */
            bracketed: boolean;
            steadyWindows: number;
            huntingWindows: number;
            steadyHours: number;
        };
        FloorPoint: {
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Percent of the quantity named by `against` */
            at: number;
            superheat_K: number;
            spread_K: number;
            hunting: boolean;
            /** @description Not hunting, and superheat varies no more than the circuit usually does when it is steady */
            steady: boolean;
        };
        SteadyFloor: {
            /** @enum {string} */
            against: "compressor-load" | "valve-opening";
            parts: components["schemas"]["FloorPart"][];
            points: components["schemas"]["FloorPoint"][];
        };
        Headroom: {
            headroom_K: number;
            uncertainty_K: number;
            held_K: number;
            floor_K: number;
            safetyMargin_K: number;
            coveredFraction: number;
            energyFraction: number;
            assumption: components["schemas"]["Statement"];
        };
        CauseExplanation: {
            cause: string;
            /** @description Probability among the explanations given, 0..1 */
            weight: number;
            /** @description Of a sensor that reads wrong: the likely ones, with the probability of each */
            sensors?: {
                sensor: string;
                weight: number;
            }[];
            supports: components["schemas"]["Statement"][];
            contradicts: components["schemas"]["Statement"][];
            /** @enum {string} */
            key: "valve-friction" | "loop-too-tight" | "valve-too-large" | "load-or-water-swings" | "under-steady-floor" | "circuits-disturb-each-other" | "measurement-noise";
        };
        Hunting: {
            huntingMinutes: number;
            judgedMinutes: number;
            windows: number;
            period_s: number;
            amplitude_K: number;
            /** @description Seconds since the Unix epoch */
            firstSeen_s: number;
            /** @description Seconds since the Unix epoch */
            lastSeen_s: number;
            /** @description Most likely first; empty where the evidence does not tell */
            causes: components["schemas"]["CauseExplanation"][];
            separatingCheck: components["schemas"]["Statement"] | null;
        };
        ValveWear: {
            travel_strokes_per_day: number;
            reversals_per_day: number;
            observedDays: number;
            /** @description Fraction of the fleet whose valves travel less, 0..1 */
            fleetTravelPercentile: number | null;
            fleetReversalPercentile: number | null;
            /** @description Life of the valve at this rate of travel, from its rated life */
            life_years?: number | null;
            /** @description Life less the years in service; null: date of installation not known */
            left_years?: number | null;
            ratedStrokes?: number | null;
            ratedReversals?: number | null;
            /** @description true: rated life from the maker; false: from common practice */
            ratedByMaker?: boolean;
            /** @description The samples are too far apart to see every movement */
            lowerBound?: boolean;
        };
        CircuitAssessment: {
            circuit: number;
            from_s: number | null;
            to_s: number | null;
            windows: number;
            /** @description Over all windows of the last 28 days */
            summary: components["schemas"]["SpanSummary"] | null;
            /** @description Over seven days (UTC), that of the last window counted: findings and wear are of these */
            lastWeek?: components["schemas"]["SpanSummary"] | null;
            days: components["schemas"]["SpanSummary"][];
            weeks: components["schemas"]["SpanSummary"][];
            floor: components["schemas"]["SteadyFloor"] | null;
            headroom: components["schemas"]["Headroom"] | null;
            /** @description null: not hunting, or too little data (see `huntingKnown`) */
            hunting: components["schemas"]["Hunting"] | null;
            huntingKnown: boolean;
            wear: components["schemas"]["ValveWear"] | null;
        };
        WindowJudgement: {
            /** @description Seconds since the Unix epoch */
            from_s: number;
            /** @description Seconds since the Unix epoch */
            to_s: number;
            sampleCount: number;
            interval_s: number | null;
            /** @description Minutes in each operating state */
            minutes: {
                [key: string]: number;
            };
            /** @description null: no steady time */
            superheat: {
                minutes: number;
                samples: number;
                mean_K: number;
                median_K: number;
                spread_K: number;
                robustSpread_K: number;
                minimum_K: number;
                percentile1_K: number;
                percentile5_K: number;
                percentile95_K: number;
                uncertainty_K: number;
                floodbackLimit_K: number;
                underLimitFraction: number;
                surelyUnderLimitFraction: number;
                possiblyUnderLimitFraction: number;
                underLimitExcursions: number;
                surelyUnderLimitExcursions: number;
                starvedLimit_K: number;
                starvedFraction: number;
                setpoint_K: number | null;
                offset_K: number | null;
            } | null;
            oscillation: {
                oscillating: boolean | null;
                period_s: number | null;
                amplitude: number | null;
                indices: {
                    [key: string]: number | null;
                };
                judgedMinutes: number;
                huntingMinutes: number;
                cycles: number | null;
                crest_s: number | null;
                origin: ("valve-friction" | "not-valve-friction" | "undecided") | null;
                originIndices: {
                    [key: string]: number | null;
                };
                partners: {
                    /** @enum {string} */
                    signal: "valve-opening" | "suction-pressure" | "suction-temperature" | "discharge-pressure" | "compressor-load" | "superheat-setpoint" | "entering-water" | "leaving-water";
                    amplitude: number;
                    varianceFraction: number;
                    coherence: number | null;
                    lead_cycles: number;
                }[];
                shape: {
                    swings: number;
                    openingSwing_pct: number;
                    openingSwingScatter: number;
                } | null;
            };
            valve: {
                minutes: number;
                runningMinutes: number;
                travel_strokes: number;
                reversals: number;
                mean_pct: number;
                minimum_pct: number;
                maximum_pct: number;
                nearShutFraction: number;
                nearOpenFraction: number;
            } | null;
            conditions: {
                compressorLoad_pct: number | null;
                valveOpening_pct: number | null;
                evaporatingTemperature_K: number | null;
                condensingTemperature_K: number | null;
                subcooling_K: number | null;
                dischargeTemperature_K: number | null;
                enteringWaterTemperature_K: number | null;
                leavingWaterTemperature_K: number | null;
                ambientTemperature_K: number | null;
            };
        };
        CircuitDraft: {
            number: number;
            /** @enum {string} */
            suctionReference: "absolute" | "gauge";
            /** @enum {string} */
            dischargeReference: "absolute" | "gauge";
            /** @description null: not known */
            suctionMinimum_Pa: number | null;
            /** @description null: not known */
            suctionMaximum_Pa: number | null;
            /** @description null: not known */
            suctionTolerance_Pa: number | null;
            /** @description null: not known */
            dischargeMinimum_Pa: number | null;
            /** @description null: not known */
            dischargeMaximum_Pa: number | null;
            /** @description null: not known */
            dischargeTolerance_Pa: number | null;
            /** @description null: not known */
            suctionTemperatureTolerance_K: number | null;
            /** @description null: not known */
            valveSize: string | null;
            /** @description null: not known */
            kv_m3_h: number | null;
            motors: 1 | 2;
            /** @description null: not known */
            fullStroke_steps: number | null;
            /** @description null: not known */
            rate_steps_s: number | null;
            /** @description null: not known */
            refrigerantCharge_kg: number | null;
            /** @description null: not known */
            floodbackLimit_K: number | null;
            /** @description null: not known */
            safetyMargin_K: number | null;
        };
        ModuleDraft: {
            number: number;
            circuits: number[];
            ratedVoltage_V: number;
            minimumVoltage_V: number;
            ratedCapacitance_F: number;
            drivePower_W: number;
            /** @description null: not known */
            cellsInSeries: number | null;
            /** @description null: not known */
            ratedEsr_Ohm: number | null;
            /** @description null: not known */
            overdrive_pct: number | null;
            /** @description null: not known */
            installedOn: string | null;
        };
        UnitDraft: {
            key: string;
            name: string;
            refrigerant: string;
            nominalCapacity_W: number;
            /** @enum {string} */
            condenser: "air" | "water";
            /** @enum {string} */
            evaporator: "dry-expansion" | "flooded" | "falling-film";
            reversible: boolean;
            /** @description null: learned from the telemetry */
            reporting: ("sampled" | "on-change") | null;
            /** @description null: not known */
            commissionedOn: string | null;
            /** @description null: not known */
            controllerFirmware: string | null;
            circuits: components["schemas"]["CircuitDraft"][];
            modules: components["schemas"]["ModuleDraft"][];
        };
        SiteDraft: {
            key: string;
            name: string;
            /** @description null: not known */
            altitude_m: number | null;
            /** @description null: not known */
            latitude_deg: number | null;
            /** @description null: not known */
            longitude_deg: number | null;
            timeZone: string;
            /** @description null: not known */
            climate: string | null;
            region: string | null;
            currency: string | null;
            /** @description null: not known */
            energyPrice_per_kWh: number | null;
        };
        RegistryReason: {
            /** @description Why it is changed */
            reason: string;
        };
        SiteWish: {
            site: components["schemas"]["SiteDraft"];
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
        };
        UnitWish: {
            unit: components["schemas"]["UnitDraft"];
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
        };
        UnitChange: {
            unit: components["schemas"]["UnitDraft"];
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
            /** @description `version` of the unit as its author saw it */
            version: number;
        };
        UnitMove: {
            site: string;
            key: string;
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
        };
        CircuitMove: {
            site: string;
            unit: string;
            /** @description Its number at that unit */
            number: number;
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
        };
        ModuleMove: {
            site: string;
            unit: string;
            /** @description Its number at that unit */
            number: number;
            /** @description Why it is changed */
            reason: string;
            /**
             * @description From when on it holds; null: it was always so, and the past is judged by it too
             * @default null
             */
            holdsFrom: string | null;
            /** @description Circuits of that unit whose valves it shuts */
            circuits: number[];
        };
        UnitCheck: {
            unit: components["schemas"]["UnitDraft"];
            /**
             * @description Key of the unit that is changed; null: a new one
             * @default null
             */
            of: string | null;
        };
        UnitJudged: {
            doubts: {
                /** @description Path in the draft */
                field: string;
                /** @description Cannot be taken; otherwise it can, but should be looked at again */
                refused: boolean;
                sentence: components["schemas"]["Statement"];
            }[];
            missing: {
                /** @description Paths in the draft */
                fields: string[];
                /** @description What is not known */
                fact: string;
                /** @description Which judgements are then not made, or rest on an assumption */
                cost: string;
                part: {
                    /** @constant */
                    kind: "unit";
                } | {
                    /** @enum {string} */
                    kind: "circuit" | "module";
                    number: number;
                };
            }[];
            /** @description The draft with what is taken instead of each figure that is not known; null: it cannot be completed */
            taken: components["schemas"]["UnitDraft"] | null;
        };
        RegistryChange: {
            id: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            changedAt: string;
            who: string;
            /** @enum {string} */
            kind: "add" | "edit" | "retire" | "bring-back" | "move" | "document";
            subject: string;
            reason: string;
            /** @description null: it was always so */
            holdsFrom: string | null;
            differences: {
                field: string;
                before: string | null;
                after: string | null;
            }[];
        };
        RegisteredUnit: {
            doubts: {
                /** @description Path in the draft */
                field: string;
                /** @description Cannot be taken; otherwise it can, but should be looked at again */
                refused: boolean;
                sentence: components["schemas"]["Statement"];
            }[];
            missing: {
                /** @description Paths in the draft */
                fields: string[];
                /** @description What is not known */
                fact: string;
                /** @description Which judgements are then not made, or rest on an assumption */
                cost: string;
                part: {
                    /** @constant */
                    kind: "unit";
                } | {
                    /** @enum {string} */
                    kind: "circuit" | "module";
                    number: number;
                };
            }[];
            /** @description The draft with what is taken instead of each figure that is not known; null: it cannot be completed */
            taken: components["schemas"]["UnitDraft"] | null;
            draft: components["schemas"]["UnitDraft"];
            version: number;
            retiredAt: string | null;
            changes: components["schemas"]["RegistryChange"][];
        };
        RegisteredSiteSummary: {
            draft: components["schemas"]["SiteDraft"];
            /** @description In service */
            units: number;
            retired: number;
        };
        RegisteredSites: {
            sites: components["schemas"]["RegisteredSiteSummary"][];
        };
        RegisteredSite: {
            draft: components["schemas"]["SiteDraft"];
            /** @description In service */
            units: number;
            retired: number;
            registered: {
                key: string;
                name: string;
                refrigerant: string;
                circuits: number;
                modules: number;
                retiredAt: string | null;
            }[];
            missing: {
                /** @description Paths in the draft */
                fields: string[];
                /** @description What is not known */
                fact: string;
                /** @description Which judgements are then not made, or rest on an assumption */
                cost: string;
            }[];
            /** @description Circuits whose stored readings are still to be converted by what was corrected */
            convertingCircuits: number;
            changes: components["schemas"]["RegistryChange"][];
        };
        TableOutcome: {
            columns: {
                head: string;
                /** @description What it is taken for; null: not used */
                is: string | null;
                examples: string[];
            }[];
            /** @description What a column can be */
            fields: {
                name: string;
                words: string;
                required: boolean;
            }[];
            rows: number;
            /** @description New sites */
            sites: number;
            /** @description New units */
            added: number;
            /** @description Registered units that the table changes */
            changed: number;
            /** @description Registered units of which it says nothing new */
            same: number;
            /** @description The first of them; while there is one, nothing is written */
            problems: {
                /** @description Counted from 1 under the heads; 0: the table as a whole */
                row: number;
                /** @description From 0; null: the row as a whole */
                column: number | null;
                sentence: string;
            }[];
            problemCount: number;
            /** @description What hardly can be right, but can be taken; the first of them */
            doubts: {
                /** @description Counted from 1 under the heads; 0: the table as a whole */
                row: number;
                /** @description From 0; null: the row as a whole */
                column: number | null;
                sentence: string;
            }[];
            doubtCount: number;
        };
        SparkplugNode: {
            group: string;
            /** @description Edge node */
            edge: string;
            /** @description Empty: the edge node itself */
            device: string;
            /** @description null: neither birth nor death came */
            alive: boolean | null;
            bornAt: string | null;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            lastAt: string;
            messages: number;
            /** @description Times that its births were asked for */
            rebirths: number;
            /** @description Announced by its newest birth; null: none came */
            metricCount: number | null;
        };
        UnitPoints: {
            /** @description Number of the newest change of the unit */
            version: number;
            points: {
                group: string;
                edge: string;
                device: string;
                metric: string;
                /** @enum {string} */
                stream: "circuits" | "water" | "condenser" | "backup";
                /** @description Of the circuit or backup module; null: of the unit */
                number: number | null;
                quantity: string;
                unit: string;
                scale: number;
            }[];
            /** @description What the unit can take, and in which units it may be sent */
            quantities: {
                /** @enum {string} */
                stream: "circuits" | "water" | "condenser" | "backup";
                /** @description Of the circuit or backup module; null: of the unit */
                number: number | null;
                quantity: string;
                units: string[];
            }[];
            /** @description Edge nodes and devices that are heard, in the order of their names */
            nodes: {
                group: string;
                /** @description Edge node */
                edge: string;
                /** @description Empty: the edge node itself */
                device: string;
                /** @description null: neither birth nor death came */
                alive: boolean | null;
                bornAt: string | null;
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                lastAt: string;
                messages: number;
                /** @description Times that its births were asked for */
                rebirths: number;
                /** @description Announced by its newest birth; null: none came */
                metricCount: number | null;
                /** @description Units that take quantities from it */
                units: string[];
            }[];
        };
        UnitPointsWish: {
            points: components["schemas"]["SparkplugPoint"][];
            /** @description Why it is changed */
            reason: string;
            /** @description `version` of the unit as its author saw it */
            version: number;
        };
        SparkplugMetrics: {
            metrics: {
                name: string;
                type: string;
                /** @description As its birth names it */
                unit: string | null;
                /** @description At its birth */
                value: number | string | null;
                /** @description What it probably is; null: nothing like a quantity of the unit */
                guess: {
                    /** @enum {string} */
                    stream: "circuits" | "water" | "condenser" | "backup";
                    /** @description Of the circuit or backup module; null: of the unit */
                    number: number | null;
                    quantity: string;
                    unit: string | null;
                } | null;
            }[];
        };
        PointTableOutcome: {
            rows: number;
            /** @description Units that it names */
            units: number;
            /** @description Units whose metrics it changes */
            changed: number;
            problems: {
                /** @description Counted from 1 under the heads; 0: the table as a whole */
                row: number;
                sentence: string;
            }[];
            problemCount: number;
        };
        /** @description Quantiles over circuits; null where no circuit has a value */
        Distribution: {
            count: number;
            p10: number | null;
            p25: number | null;
            p50: number | null;
            p75: number | null;
            p90: number | null;
            /** @description All values in ascending order; where there are more than 200, 200 evenly spaced ones */
            sample: number[];
        };
        CircuitStudyRow: {
            site: string;
            unit: string;
            circuit: number;
            cohort: string;
            /**
             * @description Superheat figures that are null because of an open sensor finding: `level` mean and floodback, `level-and-swings` also spread and hunting
             * @enum {string}
             */
            leftOut: "none" | "level" | "level-and-swings";
            steadyMinutes: number;
            superheatMean_K: number | null;
            superheatSpread_K: number | null;
            floodbackFraction: number | null;
            huntingFraction: number | null;
            valveTravel_strokes_day: number | null;
            valveReversals_day: number | null;
        };
        CircuitCohort: {
            cohort: string;
            circuits: number;
            superheatMean_K: components["schemas"]["Distribution"];
            superheatSpread_K: components["schemas"]["Distribution"];
            floodbackFraction: components["schemas"]["Distribution"];
            huntingFraction: components["schemas"]["Distribution"];
            valveTravel_strokes_day: components["schemas"]["Distribution"];
            valveReversals_day: components["schemas"]["Distribution"];
        };
        CircuitStudy: {
            /** @enum {string} */
            group: "valve-size" | "refrigerant" | "firmware" | "climate";
            days: number;
            circuits: components["schemas"]["CircuitStudyRow"][];
            /** @description Circuits that match the site and the words asked for */
            total: number;
            page: number;
            pages: number;
            /** @description Number of circuits with figures left out */
            leftOut: {
                level: number;
                levelAndSwings: number;
            };
            /** @description Circuits left out because they ran steadily for less than an hour */
            tooLittle: number;
            cohorts: components["schemas"]["CircuitCohort"][];
        };
        /** @description Ratios are of each module against its own new or rated value; the curve moves by what modules seen at both ages lost, never by who is seen */
        BackupCohort: {
            cohort: string;
            modules: number;
            /**
             * @description `rated`: there are no tests from when they were new, so they are compared with their rated value
             * @enum {string}
             */
            newValueFrom: "own" | "rated";
            meanTemperature_K: number | null;
            /** @description Middles of the quarter years of age that were seen; between two stretches without a module seen in both a row of nulls */
            ageYears: number[];
            capacitanceRatioP10: (number | null)[];
            capacitanceRatioP50: (number | null)[];
            capacitanceRatioP90: (number | null)[];
            esrAgeYears: number[];
            esrRatioP50: (number | null)[];
        };
        BackupStudy: {
            /** @enum {string} */
            group: "rating" | "climate" | "firmware" | "refrigerant";
            /** @enum {string} */
            against: "age" | "weighted-age";
            cohorts: components["schemas"]["BackupCohort"][];
            leftOut: {
                /** @description Modules whose ageing is not known yet */
                notYetKnown: number;
                /** @description Modules without a closing that can be compared, at a known temperature */
                withoutTests: number;
            };
        };
        /** @description What the fleet answers: one of the four pictures, the others null. Figures of fewer than five units can turn on one. */
        StudyAnswer: {
            /** @description Circuits, modules or sensors that the question is of */
            members: number;
            /** @description Of these, the ones with a figure */
            known: number;
            /** @description Units that these belong to */
            units: number;
            /** @description Days of running that do not count because a sensor was found wrong, and circuits with such */
            leftOut: {
                circuits: number;
                days: number;
            };
            from: string;
            to: string;
            distribution: {
                /** @description Word of the field that divides the population; `all` where none does */
                group: string;
                units: number;
                count: number;
                p10: number | null;
                p25: number | null;
                p50: number | null;
                p75: number | null;
                p90: number | null;
                sample: number[];
            }[] | null;
            scatter: {
                points: {
                    site: string;
                    unit: string;
                    circuit: number | null;
                    module: number | null;
                    sensor: string | null;
                    /** @description Word of the field that divides the population; `all` where none does */
                    group: string;
                    x: number;
                    y: number;
                }[];
                shown: number;
                total: number;
                middles: {
                    /** @description Word of the field that divides the population; `all` where none does */
                    group: string;
                    bins: {
                        n: number;
                        units: number;
                        x: number;
                        p25: number;
                        p50: number;
                        p75: number;
                    }[];
                }[];
            } | null;
            trend: {
                /** @description Word of the field that divides the population; `all` where none does */
                group: string;
                points: {
                    from: string;
                    to: string;
                    n: number;
                    units: number;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                }[];
            }[] | null;
            share: {
                /** @description Word of the field that divides the population; `all` where none does */
                group: string;
                points: {
                    from: string;
                    to: string;
                    n: number;
                    units: number;
                    share: number | null;
                    low: number | null;
                    high: number | null;
                }[];
            }[] | null;
        };
        SavedQuestion: {
            id: number;
            name: string;
            /** @description The query of its address */
            question: string;
            who: string;
            savedAt: string;
            /** @description Saved by whoever asks, who may therefore remove it */
            own: boolean;
        };
        Askable: {
            /** @description Conditions that have been found at any time, and in how many units */
            conditions: {
                condition: string;
                units: number;
            }[];
            subjects: {
                /** @enum {string} */
                of: "circuits" | "modules" | "sensors";
                members: number;
                fields: {
                    name: string;
                    values: {
                        value: string;
                        members: number;
                    }[];
                }[];
            }[];
            saved: components["schemas"]["SavedQuestion"][];
        };
        NewQuestion: {
            name: string;
            /** @description The query of its address, such as `of=circuits&quantity=huntingFraction` */
            question: string;
        };
        StudyComparison: {
            /** @description Mean of the first group less that of the second, like with like */
            difference: {
                estimate: number;
                low: number;
                high: number;
            } | null;
            /** @description `too-few`: under five units in a group; `unlike`: the groups have too little in common */
            notTold: ("too-few" | "unlike") | null;
            /** @description The difference without any adjustment */
            crude: number | null;
            /** @description Of the first group and of the second */
            rows: number[];
            /** @description Of the first group and of the second */
            units: number[];
            /** @description Of the first group and of the second */
            effective: number[];
            /** @description Of the first group and of the second */
            withoutCounterpart: number[];
            adjustedFor: string[];
            /** @description How unlike the groups are, in standard deviations; null: in what varies in neither */
            balance: {
                name: string;
                word: string | null;
                before: number | null;
                after: number | null;
            }[];
            withoutFigure: number;
            leftOut: {
                circuits: number;
                days: number;
            };
            from: string;
            to: string;
        };
        StudyChangeEffect: {
            /** @description Change of those that had it less that of those that did not */
            effect: {
                estimate: number;
                low: number;
                high: number;
            } | null;
            notTold: "too-few" | null;
            changedBy: number | null;
            othersBy: number | null;
            /** @description Units with the change, and without it */
            units: number[];
            changes: number;
            /** @description Weeks in which changes were made; each is compared over its own dates */
            weeks: number;
            /** @description The same over the time before the change: where it is not about zero, others are no fair comparison */
            earlier: {
                estimate: number;
                low: number;
                high: number;
            } | null;
            /** @description What circuits of the population changed to at any time */
            words: string[];
        };
        StudySurvival: {
            modules: number;
            leftOut: {
                /** @description Modules with fewer than two months that can be compared */
                tooLittle: number;
                /** @description Modules under the limit when they were first seen */
                underAtFirst: number;
            };
            groups: {
                group: string;
                modules: number;
                failures: number;
                median_years: number | null;
                seenUntil_years: number;
                steps: {
                    age_years: number;
                    atRisk: number;
                    failures: number;
                    survival: number;
                    standardError: number;
                    low: number;
                    high: number;
                }[];
            }[];
            /** @description Log-rank test between the groups */
            difference: {
                observed: number[];
                expected: number[];
                chiSquare: number;
                degreesOfFreedom: number;
                probability: number;
            } | null;
            coming: {
                from: string;
                to: string;
                expected: number;
                low: number;
                high: number;
                /** @description Modules older than five others have been watched at */
                notTold: number;
            }[];
        };
        UnitPlaces: {
            days: number;
            circuits: {
                circuit: number;
                quantities: {
                    /** @enum {string} */
                    quantity: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                    value: number | null;
                    /** @description Fraction of its like that lies below */
                    below: number | null;
                    /** @description Fraction of its like with the same value */
                    equal: number | null;
                    /** @description Circuits of other units that it is compared with */
                    others: number;
                    /** @description Fields in which these are alike */
                    alikeIn: string[];
                }[];
            }[];
            modules: {
                module: number;
                quantities: {
                    /** @enum {string} */
                    quantity: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                    value: number | null;
                    /** @description Fraction of its like that lies below */
                    below: number | null;
                    /** @description Fraction of its like with the same value */
                    equal: number | null;
                    /** @description Modules of other units that it is compared with */
                    others: number;
                    /** @description Fields in which these are alike */
                    alikeIn: string[];
                }[];
            }[];
        };
        ValveWearStudy: {
            circuits: number;
            /** @description Circuits whose opening was seen for half a day at least */
            observed: number;
            /** @description Of these, in units of which it is not known when they were commissioned */
            withoutAge: number;
            /** @description Of these, with a rated life that is assumed, as the registry has none */
            assumedLife: number;
            leftOut: {
                circuits: number;
                days: number;
            };
            from: string;
            to: string;
            sizes: {
                size: string;
                /** @description Hours of running a day; null: all */
                duty: string | null;
                circuits: number;
                units: number;
                /** @description Part of the rated full strokes that a year at this pace takes */
                travel: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description The same of the rated reversals */
                reversals: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Of whichever goes first */
                life: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Circuits whose reversals go first */
                byReversals: number;
                /** @description Years left of the rated life at this pace, had the valve always moved so */
                left: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Median of the years left; null: of fewer than five units */
                leftMedian: {
                    estimate: number;
                    low: number;
                    high: number;
                } | null;
            }[];
            duties: {
                size: string;
                /** @description Hours of running a day; null: all */
                duty: string | null;
                circuits: number;
                units: number;
                /** @description Part of the rated full strokes that a year at this pace takes */
                travel: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description The same of the rated reversals */
                reversals: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Of whichever goes first */
                life: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Circuits whose reversals go first */
                byReversals: number;
                /** @description Years left of the rated life at this pace, had the valve always moved so */
                left: {
                    count: number;
                    p10: number | null;
                    p25: number | null;
                    p50: number | null;
                    p75: number | null;
                    p90: number | null;
                    sample: number[];
                };
                /** @description Median of the years left; null: of fewer than five units */
                leftMedian: {
                    estimate: number;
                    low: number;
                    high: number;
                } | null;
            }[];
        };
        UnitSummary: {
            site: components["schemas"]["SiteReference"];
            unit: components["schemas"]["UnitReference"];
            circuits: number[];
            modules: number[];
            /** @description Urgency of the most urgent open problem; null: none */
            urgency: components["schemas"]["Urgency"] | null;
            lastReading: string | null;
            /** @description From the last presence message; null: none received yet */
            online: boolean | null;
        };
        UnitList: {
            /** @description Units in the registry */
            fleet: number;
            /** @description Units that match the site, urgency and words asked for */
            total: number;
            page: number;
            pages: number;
            units: components["schemas"]["UnitSummary"][];
        };
        CircuitLatest: {
            /** @description Seconds since the Unix epoch */
            time_s: number;
            suctionPressure_Pa: number | null;
            suctionTemperature_K: number | null;
            superheat_K: number | null;
            /** @description One standard uncertainty, from the tolerances in the registry */
            superheatUncertainty_K: number | null;
            /** @description Dew side */
            suctionSaturationTemperature_K: number | null;
            valveOpening_pct: number | null;
            valveOpening2_pct: number | null;
            dischargePressure_Pa: number | null;
            dischargeTemperature_K: number | null;
            /** @description Dew side */
            dischargeSaturationTemperature_K: number | null;
            liquidTemperature_K: number | null;
            /** @description Bubble side */
            subcooling_K: number | null;
            /** @description One standard uncertainty, from the tolerances in the registry */
            subcoolingUncertainty_K: number | null;
            superheatSetpoint_K: number | null;
            compressorLoad_pct: number | null;
            /** @description State of the circuit for most of the last judged window; null: none judged yet */
            state: components["schemas"]["OperatingState"] | null;
        };
        CircuitNormal: {
            learned: boolean;
            /** @description Learned for good: later time is only judged against it */
            complete: boolean;
            /** @description Plateaus of steady running that it is, or is going to be, learned from */
            plateaus: number;
            learnedFrom_s: number | null;
            learnedUntil_s: number | null;
            /** @description Like units that it is compared with until its own normal is learned; null: none */
            likeUnits: number | null;
            /** @description When learning was last started anew, and why; null: never */
            startedAnew: {
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                at: string;
                /** @description Seconds since the Unix epoch */
                learnFrom_s: number;
                /** @enum {string} */
                reason: "refrigerant" | "valve" | "firmware" | "evaporator" | "visit";
                detail: string;
            } | null;
            /** @description What it is compared with, or what to wait for */
            note: components["schemas"]["Statement"];
        };
        CircuitDetail: {
            number: number;
            entry: components["schemas"]["CircuitEntry"];
            latest: components["schemas"]["CircuitLatest"] | null;
            /** @description The newest day (UTC) with judged windows, and the seven days that end with it */
            summary: {
                day: components["schemas"]["SpanSummary"] | null;
                week: components["schemas"]["SpanSummary"] | null;
            };
            /** @description null: not assessed yet */
            assessment: components["schemas"]["CircuitAssessment"] | null;
            assessedAt: string | null;
            /** @description Quantities that are not judged because a sensor is found wrong */
            notReliable: {
                superheatLevel: boolean;
                superheatSwing: boolean;
                subcooling: boolean;
            };
            /** @description What the circuit is compared with; null: not compared yet */
            normal: components["schemas"]["CircuitNormal"] | null;
        };
        NotJudged: {
            /** @enum {string} */
            kind: "window" | "closing" | "circuit" | "module";
            /** @description Number of the circuit or module */
            number: number;
            /** @description Start of the window or closing; null: the whole circuit or module */
            startsAt: string | null;
            reason: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            failedAt: string;
        };
        UnitDetail: {
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            asOf: string;
            site: components["schemas"]["SiteReference"];
            unit: {
                key: string;
                name: string;
                refrigerant: string;
                /** @description Safety class to ASHRAE 34 / ISO 817 */
                safetyClass: string | null;
                nominalCapacity_W: number;
                controllerFirmware: string;
                /** @description null: not known */
                commissionedOn: string | null;
                /** @description Out of service since; null: in service */
                retiredAt: string | null;
                /** @enum {string} */
                condenser: "air" | "water";
                online: boolean | null;
            };
            lastReading: string | null;
            /** @description What the registry does not know of it, and which judgements that costs */
            missing: {
                fact: string;
                cost: string;
                part: string;
            }[];
            circuits: components["schemas"]["CircuitDetail"][];
            modules: components["schemas"]["ModuleOverview"][];
            /** @description One for each problem, most urgent first; the findings beneath them by id */
            diagnoses: components["schemas"]["Diagnosis"][];
            /** @description Open findings, most urgent first */
            findings: components["schemas"]["Finding"][];
            /** @description Work whose judgement failed although its telemetry is stored, most recent failure first */
            notJudged: components["schemas"]["NotJudged"][];
            /** @description Cautions to observe before any work on this unit */
            cautions: string[];
        };
        FloorResponse: {
            assessedAt: string | null;
            /** @description `floor`: points and curve of the steady floor; `headroom`: the result; null: not assessed yet */
            assessment: components["schemas"]["CircuitAssessment"] | null;
        };
        UnreadMessage: {
            id: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            receivedAt: string;
            topic: string;
            reason: string;
            detail: string;
            bytes: number;
            /** @description First 240 characters of a text payload; otherwise hexadecimal digits */
            preview: string;
            text: boolean;
        };
        UnreadList: {
            total: number;
            page: number;
            pages: number;
            reasons: {
                reason: string;
                count: number;
            }[];
            /** @description Messages beyond the daily quota of their sender and reason; they are counted and not kept */
            notKept: {
                source: string;
                reason: string;
                count: number;
            }[];
            messages: components["schemas"]["UnreadMessage"][];
        };
        MissingOfUnit: {
            site: string;
            unit: string;
            missing: number;
            /** @description Hours with missing samples, all circuits of the unit together */
            hours: {
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                from: string;
                expected: number;
                received: number;
            }[];
        };
        MissingTelemetry: {
            /** @description Samples of the last day that did not come although circuits are sampled evenly before and after */
            samples: number;
            units: number;
            sites: number;
            /** @description The units of which most is missing, 50 at most */
            worst: components["schemas"]["MissingOfUnit"][];
            /** @description Messages that the broker reports as dropped because one of its queues was full */
            messagesLost: {
                broker: string;
                lost: number;
                firstAt: string | null;
                lastAt: string | null;
            }[];
            notJudged: {
                windows: number;
                closings: number;
                circuits: number;
                modules: number;
            };
        };
        HeardTopic: {
            topic: string;
            /** @enum {string} */
            stream: "circuits" | "water" | "condenser" | "backup" | "closing" | "presence";
            number: number | null;
            messages: number;
            /** @description Messages a minute; null: only one came so far */
            perMinute: number | null;
            /** @description What its newest messages carry */
            names: {
                name: string;
                unit: string | null;
                /** @description Lowest value of the newest messages, as sent */
                low: number | null;
                high: number | null;
            }[];
        };
        HeardUnit: {
            site: string;
            unit: string;
            siteKnown: boolean;
            /** @description The unit is registered, but not all of what it sends */
            unitKnown: boolean;
            retired: boolean;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            firstAt: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            lastAt: string;
            messages: number;
            /** @description Kept until it is registered, to be read in then */
            kept: number;
            topics: components["schemas"]["HeardTopic"][];
            /** @description What the traffic tells of the unit */
            told: {
                circuits: number[];
                modules: number[];
                /** @description Circuits with two valves */
                tandemCircuits: number[];
                /** @description False: not told */
                airCooled: boolean;
                /** @description A pressure below zero came, so it is gauge pressure; false: not told */
                gauge: boolean;
            };
        };
        HeardList: {
            units: components["schemas"]["HeardUnit"][];
            complete: boolean;
            /** @description Edge nodes and devices of Sparkplug B that no unit takes anything from */
            sparkplug: {
                group: string;
                /** @description Edge node */
                edge: string;
                /** @description Empty: the edge node itself */
                device: string;
                /** @description null: neither birth nor death came */
                alive: boolean | null;
                bornAt: string | null;
                /**
                 * Format: date-time
                 * @description Instant, ISO 8601 in UTC
                 */
                lastAt: string;
                messages: number;
                /** @description Times that its births were asked for */
                rebirths: number;
                /** @description Announced by its newest birth; null: none came */
                metricCount: number | null;
                /** @description The first of those that it announced */
                metrics: {
                    name: string;
                    unit: string | null;
                }[];
            }[];
        };
        ClockOffset: {
            /** @description By how much the sender’s clock is behind, s, by the lower envelope of lateness: the median of the least lateness of each hour. A constant way of its own counts as being behind; below zero the clock is surely ahead */
            offset_s: number;
            from_s: number;
            to_s: number;
            hours: number;
            /** @description Everything comes that late, so that it is taken for history */
            shifted: boolean;
        };
        UnitDataHealth: {
            site: string;
            siteName: string;
            unit: string;
            name: string;
            /** @description It has a finding that it sends nothing */
            silent: boolean;
            neverHeard: boolean;
            /** @description Arrival of the last message; null: none was counted yet */
            lastMessage: string | null;
            /** @description Time of the newest reading of any circuit */
            newestReading: string | null;
            /** @description Samples of the last day that the interval of its circuits promises; null: values are sent on change, or no interval is known */
            expected: number | null;
            received: number;
            missing: number;
            /** @description Fraction of the expected that is missing; 1: never heard */
            lost: number;
            messages: number;
            /** @description Time steps of all streams */
            steps: number;
            /** @description Of these, time steps that came again with nothing new */
            repeats: number;
            /** @description Of these, time steps of a backlog: in messages of which all was over ten minutes old, or over seventy minutes old themselves */
            history: number;
            /** @description Arrival less sample time of what came at once, s; known to within its bin */
            latenessP50_s: number | null;
            latenessP95_s: number | null;
            /** @description Null: fewer than three hours to tell it from */
            clock: components["schemas"]["ClockOffset"] | null;
            /** @description A backlog is coming in */
            catchingUp: boolean;
            /** @description Newest time of the backlog that came in */
            historyUntil: string | null;
        };
        DataHealthTotals: {
            units: number;
            silent: number;
            neverHeard: number;
            /** @description Units of which samples of the last day are missing */
            incomplete: number;
            catchingUp: number;
            expected: number;
            missing: number;
            received: number;
            steps: number;
            repeats: number;
        };
        /** @description By hour from `calendarFrom`: samples that came, whenever they came, and those known to be missing */
        GapCalendar: {
            samples: number[];
            missing: number[];
        };
        FleetDataHealth: {
            /** @description As of when the figures are; null: not worked out yet */
            asOf: string | null;
            totals: components["schemas"]["DataHealthTotals"];
            page: number;
            pages: number;
            units: components["schemas"]["UnitDataHealth"][];
        };
        UnitDataHealthOfSite: {
            site: string;
            siteName: string;
            unit: string;
            name: string;
            /** @description It has a finding that it sends nothing */
            silent: boolean;
            neverHeard: boolean;
            /** @description Arrival of the last message; null: none was counted yet */
            lastMessage: string | null;
            /** @description Time of the newest reading of any circuit */
            newestReading: string | null;
            /** @description Samples of the last day that the interval of its circuits promises; null: values are sent on change, or no interval is known */
            expected: number | null;
            received: number;
            missing: number;
            /** @description Fraction of the expected that is missing; 1: never heard */
            lost: number;
            messages: number;
            /** @description Time steps of all streams */
            steps: number;
            /** @description Of these, time steps that came again with nothing new */
            repeats: number;
            /** @description Of these, time steps of a backlog: in messages of which all was over ten minutes old, or over seventy minutes old themselves */
            history: number;
            /** @description Arrival less sample time of what came at once, s; known to within its bin */
            latenessP50_s: number | null;
            latenessP95_s: number | null;
            /** @description Null: fewer than three hours to tell it from */
            clock: components["schemas"]["ClockOffset"] | null;
            /** @description A backlog is coming in */
            catchingUp: boolean;
            /** @description Newest time of the backlog that came in */
            historyUntil: string | null;
            calendar: components["schemas"]["GapCalendar"];
        };
        SiteDataHealth: {
            /** @description As of when the figures are; null: not worked out yet */
            asOf: string | null;
            totals: components["schemas"]["DataHealthTotals"];
            page: number;
            pages: number;
            /** @description Since when what comes is counted; null: nothing was counted yet */
            countedSince: string | null;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            calendarFrom: string;
            site: components["schemas"]["SiteReference"];
            units: components["schemas"]["UnitDataHealthOfSite"][];
        };
        SignalHealth: {
            /** @enum {string} */
            name: "suctionPressure_Pa" | "suctionTemperature_K" | "valveOpening_pct" | "dischargePressure_Pa" | "dischargeTemperature_K" | "liquidTemperature_K" | "superheatSetpoint_K" | "compressorLoad_pct" | "enteringWaterTemperature_K" | "leavingWaterTemperature_K" | "waterFlow_m3_s" | "ambientTemperature_K" | "condenserEnteringTemperature_K" | "condenserLeavingTemperature_K" | "condenserFlow_m3_s" | "condenserFanSpeed_pct" | "compressorPower_W";
            /** @enum {string} */
            reporting: "sampled" | "on-change";
            /** @description Step of its values, in the unit of its name; 0: none is seen */
            resolution: number;
            /** @description Least change that is sent; 0: it is sampled */
            deadband: number;
            interval_s: number | null;
            /** @description How long a value stands for the present */
            hold_s: number;
            /** @description Wrong single samples */
            glitches: number;
            values: number;
            /** @description Values of those that its own interval promises; null: it promises none */
            completeness: number | null;
            newest: string | null;
        };
        CircuitDataHealth: {
            number: number;
            /** @description Stretch that its signals were looked at; null: not looked at yet */
            from: string | null;
            to: string | null;
            signals: components["schemas"]["SignalHealth"][];
        };
        CannotBeJudged: {
            part: string;
            because: components["schemas"]["Statement"];
            /** @description What is not judged for that */
            cost: components["schemas"]["Statement"];
        };
        UnitDataHealthDetail: {
            /** @description Since when what comes is counted; null: nothing was counted yet */
            countedSince: string | null;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            calendarFrom: string;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            asOf: string;
            site: components["schemas"]["SiteReference"];
            unit: {
                key: string;
                name: string;
            };
            /** @description Null: not worked out yet */
            health: components["schemas"]["UnitDataHealth"] | null;
            calendar: components["schemas"]["GapCalendar"];
            /** @description Time steps of the last day that came at once, by lateness; open bins have no edge */
            lateness: {
                from_s: number | null;
                to_s: number | null;
                steps: number;
            }[];
            circuits: components["schemas"]["CircuitDataHealth"][];
            /** @description Open findings on sensors and on missing telemetry */
            findings: {
                id: string;
                condition: string;
                subject: components["schemas"]["FindingSubject"];
                headline: components["schemas"]["Statement"];
                urgency: components["schemas"]["Urgency"];
            }[];
            cannotBeJudged: components["schemas"]["CannotBeJudged"][];
        };
        WindowRow: {
            /** @description Seconds since the Unix epoch */
            start_s: number;
            /** @description Seconds since the Unix epoch */
            end_s: number;
            /**
             * Format: date-time
             * @description Instant, ISO 8601 in UTC
             */
            judgedAt: string;
            samples: number;
            steadyMinutes: number;
            /** @description Minutes in each operating state */
            minutes: {
                [key: string]: number;
            };
            superheatMean_K: number | null;
            superheatSpread_K: number | null;
            floodbackFraction: number | null;
            /** @description null: too little data to say */
            oscillating: boolean | null;
            /** @description Oscillates by 0.5 K or more to either side; null: too little data to say */
            hunts: boolean | null;
            period_s: number | null;
            amplitude_K: number | null;
            valveTravel_strokes: number | null;
            valveReversals: number | null;
        };
        WindowList: {
            windows: components["schemas"]["WindowRow"][];
        };
        IndexReading: {
            key: string;
            /** @description Published name of the index */
            name: string;
            source: string;
            value: number;
            limit: number;
            /** @description Whether it indicates an oscillation */
            agrees: boolean;
            /** @description What the value of the index means here */
            meaning: components["schemas"]["Statement"];
        };
        SuperheatCycle: {
            from_s: number;
            to_s: number;
            crest_K: number;
            trough_K: number;
        };
        WindowPicture: {
            /** @description Seconds since the Unix epoch */
            start_s: number;
            /** @description Seconds since the Unix epoch */
            end_s: number;
            /** @description null: judged for this request */
            judgedAt: string | null;
            judgement: components["schemas"]["WindowJudgement"];
            /** @description The indices on which the verdict is based, each with a sentence */
            readings: components["schemas"]["IndexReading"][];
            /** @description Every sample of the window */
            trace: {
                /** @description Seconds since the Unix epoch, increasing */
                time_s: number[];
                /** @description Column of a series; null where no value was sent */
                superheat_K: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                valveOpening_pct: (number | null)[];
                /** @description Column of a series; null where no value was sent */
                superheatSetpoint_K: (number | null)[];
                /** @description Operating state at each time */
                state: components["schemas"]["OperatingState"][];
            };
            floodbackLimit_K: number;
            /** @description Cycles of the superheat from crest to crest; empty when not oscillating */
            cycles: components["schemas"]["SuperheatCycle"][];
            /** @description Autocorrelation of the steady superheat after removal of its drift; null: too little data */
            autocorrelation: {
                lag_s: number[];
                /** @description Column of a series; null where no value was sent */
                value: (number | null)[];
            } | null;
            /** @description Normalised Lomb-Scargle power over period */
            spectrum: {
                period_s: number[];
                power: number[];
                found_s: number | null;
            } | null;
            /** @description Valve opening and superheat: the samples, and the mean cycle at the period found */
            loop: {
                valveOpening_pct: number[];
                superheat_K: number[];
                meanCycle: {
                    valveOpening_pct: number;
                    superheat_K: number;
                }[];
            };
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export interface operations {
    export_circuit: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    export_closings: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                module: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    export_circuitStudy: {
        parameters: {
            query?: {
                group?: "valve-size" | "refrigerant" | "firmware" | "climate";
                days?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    export_backupStudy: {
        parameters: {
            query?: {
                group?: "rating" | "climate" | "firmware" | "refrigerant";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    export_payload: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/octet-stream": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_askable: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What can be asked of whom: fields of the registry with their words, and the saved questions */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Askable"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_save: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["NewQuestion"];
            };
        };
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_forget: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_answer: {
        parameters: {
            query?: {
                of?: "circuits" | "modules" | "sensors";
                picture?: "distribution" | "scatter" | "trend" | "share";
                quantity?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description What lies across in a scatter */
                against?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description In a share over time: above what one counts */
                over?: number;
                /** @description Field of the registry that divides the population */
                split?: string;
                /** @description Who is asked of, `field:word`; of one field any of its words */
                where?: string | string[];
                /** @description Only those with a finding of this condition in the time asked of */
                having?: string;
                /** @description Only days in an operating range, `quantity:from..to`, either end may be left out */
                range?: string | string[];
                /** @description Days up to the end, the running one counted */
                days?: number;
                /** @description Last day (UTC); left out: today */
                to?: string;
                /** @description Of modules always months */
                period?: "week" | "month";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What the fleet answers to a question */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StudyAnswer"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_table: {
        parameters: {
            query?: {
                of?: "circuits" | "modules" | "sensors";
                picture?: "distribution" | "scatter" | "trend" | "share";
                quantity?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description What lies across in a scatter */
                against?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description In a share over time: above what one counts */
                over?: number;
                /** @description Field of the registry that divides the population */
                split?: string;
                /** @description Who is asked of, `field:word`; of one field any of its words */
                where?: string | string[];
                /** @description Only those with a finding of this condition in the time asked of */
                having?: string;
                /** @description Only days in an operating range, `quantity:from..to`, either end may be left out */
                range?: string | string[];
                /** @description Days up to the end, the running one counted */
                days?: number;
                /** @description Last day (UTC); left out: today */
                to?: string;
                /** @description Of modules always months */
                period?: "week" | "month";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyquestion_parquet: {
        parameters: {
            query?: {
                of?: "circuits" | "modules" | "sensors";
                picture?: "distribution" | "scatter" | "trend" | "share";
                quantity?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description What lies across in a scatter */
                against?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description In a share over time: above what one counts */
                over?: number;
                /** @description Field of the registry that divides the population */
                split?: string;
                /** @description Who is asked of, `field:word`; of one field any of its words */
                where?: string | string[];
                /** @description Only those with a finding of this condition in the time asked of */
                having?: string;
                /** @description Only days in an operating range, `quantity:from..to`, either end may be left out */
                range?: string | string[];
                /** @description Days up to the end, the running one counted */
                days?: number;
                /** @description Last day (UTC); left out: today */
                to?: string;
                /** @description Of modules always months */
                period?: "week" | "month";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same as Parquet, typed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.apache.parquet": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_comparison: {
        parameters: {
            query: {
                of?: "circuits" | "modules" | "sensors";
                picture?: "distribution" | "scatter" | "trend" | "share";
                quantity?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description What lies across in a scatter */
                against?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description In a share over time: above what one counts */
                over?: number;
                split: string;
                /** @description Who is asked of, `field:word`; of one field any of its words */
                where?: string | string[];
                /** @description Only those with a finding of this condition in the time asked of */
                having?: string;
                /** @description Only days in an operating range, `quantity:from..to`, either end may be left out */
                range?: string | string[];
                /** @description Days up to the end, the running one counted */
                days?: number;
                /** @description Last day (UTC); left out: today */
                to?: string;
                /** @description Of modules always months */
                period?: "week" | "month";
                /** @description Word of the field: the first group */
                first: string;
                /** @description Word of the field: the second group */
                second: string;
                /** @description What is not adjusted for, though it could be */
                without?: string | string[];
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Two groups compared like with like */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StudyComparison"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_changeEffect: {
        parameters: {
            query?: {
                of?: "circuits" | "modules" | "sensors";
                picture?: "distribution" | "scatter" | "trend" | "share";
                quantity?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description What lies across in a scatter */
                against?: "superheatMean_K" | "superheatSpread_K" | "setpointOffset_K" | "superheatSetpoint_K" | "floodbackFraction" | "starvedFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day" | "running_h_day" | "compressorLoad_pct" | "evaporatingTemperature_K" | "condensingTemperature_K" | "subcooling_K" | "ambientTemperature_K" | "headroom_K" | "life_fraction_year" | "travelLife_fraction_year" | "reversalLife_fraction_year" | "lifeLeft_years" | "age_years" | "capacity_W" | "kv_m3_h" | "capacitance_fraction" | "esr_fraction" | "capacitanceLoss_fraction_year" | "moduleTemperature_K" | "moduleAge_years" | "closingReserve" | "closingTime_s" | "wrong_fraction";
                /** @description In a share over time: above what one counts */
                over?: number;
                /** @description Field of the registry that divides the population */
                split?: string;
                /** @description Who is asked of, `field:word`; of one field any of its words */
                where?: string | string[];
                /** @description Only those with a finding of this condition in the time asked of */
                having?: string;
                /** @description Only days in an operating range, `quantity:from..to`, either end may be left out */
                range?: string | string[];
                /** @description Days up to the end, the running one counted */
                days?: number;
                /** @description Last day (UTC); left out: today */
                to?: string;
                /** @description Of modules always months */
                period?: "week" | "month";
                change?: "firmware" | "setpoint" | "charging" | "valve" | "registry" | "part" | "visit";
                /** @description Only changes to this word, such as a firmware or `lowered` */
                became?: string;
                /** @description Days looked at before the week of the change, and after it */
                span?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What a change did to those that had it, against those that did not, over the same dates */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StudyChangeEffect"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_survival: {
        parameters: {
            query?: {
                split?: "temperature" | "site" | "climate" | "region" | "unit" | "refrigerant" | "condenser" | "evaporator" | "firmware" | "year commissioned" | "nominal capacity" | "reversible" | "backup module" | "rating" | "year installed" | "valves shut" | "cells in series";
                /** @description Who is asked of, `field:word` */
                where?: string | string[];
                /** @description Part of the new capacitance */
                capacitance?: number;
                /** @description Times the new ESR */
                esr?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How long backup modules last, and how many fall under the limit in each coming quarter */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StudySurvival"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_wear: {
        parameters: {
            query?: {
                /** @description Who is asked of, `field:word` */
                where?: string | string[];
                /** @description Days up to now */
                days?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How valves wear by size and duty, and the years left of their rated life */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ValveWearStudy"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_wearTable: {
        parameters: {
            query?: {
                /** @description Who is asked of, `field:word` */
                where?: string | string[];
                /** @description Days up to now */
                days?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description CSV, RFC 4180, header in the first line */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    studyfair_unitPlaces: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Where each circuit and module of a unit lies among its like, circuits over four weeks */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitPlaces"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    takeaway_take: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
                /** @description Key of the only site */
                site?: string;
                /** @description The only unit, as {siteKey}/{unitKey} */
                unit?: string;
            };
            header?: never;
            path: {
                file: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A whole table (docs/data-dictionary.md) as `{table}.parquet` or `{table}.csv`, as it is read; default: the last day */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.apache.parquet": string;
                    "text/csv; charset=utf-8": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    state_health: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Whether this process is running and which services it is connected to */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Health"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    state_progress: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How much telemetry is stored and how much of it has been judged */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Progress"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    state_stream: {
        parameters: {
            query?: {
                /** @description {siteKey}/{unitKey}: send the events of its readings and judgements as well */
                unit?: string;
                /** @description Id of the last event received, if `Last-Event-ID` is not sent */
                since?: number;
            };
            header: {
                "last-event-id": string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Server-sent events; data is JSON. Event ids number the changes of the round: a client that reconnects with the last id it received (`Last-Event-ID`, or `since`) gets the events it missed, or `read-again`. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LiveEvent"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_round: {
        parameters: {
            query?: {
                /** @description Time for which the round is wanted, as it was known then; not in the future; default: now */
                at?: string;
                site?: string;
                region?: string;
                urgency?: "today" | "this-week" | "next-visit" | "watch" | "quiet";
                /** @description Words to search for; all must occur in unit, site, findings or causes */
                q?: string;
                /** @description The most urgent first; or the surest, the longest known, by name of the site, the dearest to wait. Among equals as urgent */
                sort?: "urgency" | "certainty" | "age" | "site" | "waiting";
                /** @description `next` of the previous page, in the same order; default: the first page */
                cursor?: string;
                /** @description Units on one page */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The ranked list of units that need attention */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Round"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_changesSince: {
        parameters: {
            query: {
                /** @description What the round of now is compared with */
                since: string;
                page?: number;
                /** @description Units on one page; 0: only the counts */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Which units are new on the round, worse, better or gone since a moment */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Changes"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_portfolio: {
        parameters: {
            query?: {
                by?: "site" | "region";
                /** @description `urgency`: most units of the highest urgency first */
                sort?: "name" | "urgency" | "units" | "change" | "proven" | "health" | "energy";
                descending?: string;
                /** @description Only rows whose name or region holds all of these words */
                q?: string;
                page?: number;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Sites or regions: units by urgency, change, proven closings, state of the data */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Portfolio"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_nearby: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Sites within 60 km where something is due, nearest first; none where positions are not known */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["NearbySites"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_history: {
        parameters: {
            query?: {
                /** @description {siteKey}/{unitKey} */
                unit?: string;
                /** @description true: open ones only; false: ended ones only */
                open?: "true" | "false";
                site?: string;
                urgency?: components["schemas"]["Urgency"];
                /** @description Words to search for; all must occur in the condition or the headline */
                q?: string;
                /** @description `next` of the previous page; default: the newest */
                after?: string;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Findings, open and ended, newest first */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingHistory"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_evidenceOf: {
        parameters: {
            query?: {
                /** @description The finding as it was known then; left out: now */
                at?: string;
            };
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Data of the finding's picture, from the time at which the finding shows best */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingEvidence"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    round_evidenceOfSeveral: {
        parameters: {
            query: {
                /** @description Numbers of findings, separated by commas */
                findings: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same for several findings at once; those that are not there are left out */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["EvidenceList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    roundchange_roundChanges: {
        parameters: {
            query?: {
                /** @description `next` of the answer before; left out: only where the round stands now */
                since?: number;
                /** @description Changes in one answer */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Units whose place on the round changed, by number: asked again with `next`, a program misses none of them */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RoundChangeList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    missingtelemetry_missing: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Samples of the last day that did not come, by unit and hour, messages that a broker dropped, and what was not judged */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["MissingTelemetry"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    datahealth_fleet: {
        parameters: {
            query?: {
                /** @description Words that site and unit must all contain */
                q?: string;
                /** @description `worst`: the unit of which most is missing first */
                sort?: "worst" | "name" | "last" | "lateness" | "repeats" | "clock";
                descending?: string;
                page?: number;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How the telemetry of each unit comes: last message, missing, late, repeated; the worst first */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FleetDataHealth"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    datahealth_site: {
        parameters: {
            query?: {
                /** @description Words that site and unit must all contain */
                q?: string;
                /** @description `worst`: the unit of which most is missing first */
                sort?: "worst" | "name" | "last" | "lateness" | "repeats" | "clock";
                descending?: string;
                page?: number;
                limit?: number;
            };
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same of one site, with the hours of four weeks in which samples came or are missing */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SiteDataHealth"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    datahealth_unit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same of one unit, with its signals, what was found wrong, and what cannot be judged */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitDataHealthDetail"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unit_list: {
        parameters: {
            query?: {
                site?: string;
                urgency?: "today" | "this-week" | "next-visit" | "watch" | "quiet";
                /** @description Words to search for; all must occur in unit, site, findings or causes */
                q?: string;
                /** @description `round`: order of the round, quiet units last */
                sort?: "round" | "unit" | "site" | "refrigerant" | "capacity" | "firmware";
                descending?: string;
                page?: number;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Units of the registry, page by page */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unit_detail: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description One unit: circuits, modules, open findings */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitDetail"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unit_water: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
                /** @description Approximate maximum number of points */
                points?: number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The unit's water and ambient values */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WaterSeriesResponse"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unit_powerLosses: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Review of each loss of mains */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PowerLossList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unit_replay: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                startedAt_s: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Readings around one loss of mains */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PowerLossReplay"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    circuit_circuitSeries: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
                /** @description Approximate maximum number of points */
                points?: number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Telemetry over a span, as columns */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CircuitSeriesResponse"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    circuit_list: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Judged windows; of the last 28 days unless a span is given */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WindowList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    circuit_picture: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
                start_s: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description One window and the data of its charts, computed from the readings */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WindowPicture"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    circuit_floor: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Steady floor and headroom */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FloorResponse"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    circuit_cycle: {
        parameters: {
            query?: {
                at?: string | number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Pressure-enthalpy diagram: the dome and the state points */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Cycle"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    module_detail: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                module: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description One backup module: reserve, trend, forecast, closings */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ModuleDetail"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    module_backupSeries: {
        parameters: {
            query?: {
                /** @description ISO instant or seconds since the epoch; default: a day before `to` */
                from?: string | number;
                /** @description ISO instant or seconds since the epoch; default: now */
                to?: string | number;
                /** @description Approximate maximum number of points */
                points?: number;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
                module: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The module's readings over a span */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["BackupSeriesResponse"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    module_closing: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                module: number;
                startedAt_s: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description One closing: the measured curve and the fitted discharge */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ClosingDetail"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    study_circuits: {
        parameters: {
            query?: {
                group?: "valve-size" | "refrigerant" | "firmware" | "climate";
                days?: number;
                site?: string;
                /** @description Words to search for; all must occur in site, unit or cohort */
                q?: string;
                sort?: "circuit" | "cohort" | "steadyMinutes" | "superheatMean_K" | "superheatSpread_K" | "floodbackFraction" | "huntingFraction" | "valveTravel_strokes_day" | "valveReversals_day";
                descending?: string;
                page?: number;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Circuits by cohort: distributions, and one page of the circuits */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CircuitStudy"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    study_backup: {
        parameters: {
            query?: {
                group?: "rating" | "climate" | "firmware" | "refrigerant";
                /** @description Age since installation, or equivalent age at 298.15 K, where 10 K lower doubles the life */
                against?: "age" | "weighted-age";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Backup modules by cohort: capacitance and ESR over age */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["BackupStudy"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    study_unreadMessages: {
        parameters: {
            query?: {
                page?: number;
                reason?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Messages that could not be read, newest first, 50 per page */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnreadList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    study_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The refrigerants that have property tables */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RefrigerantList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_ofFinding: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What was decided on a finding */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingDecisions"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_decide: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["DecisionWish"];
            };
        };
        responses: {
            /** @description Hand over, put off, accept, close with what the visit found, or note. 409: somebody decided meanwhile; read again */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingDecisions"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_ofDiagnosis: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What was decided on a diagnosis */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingDecisions"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_decideOnDiagnosis: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["DecisionWish"];
            };
        };
        responses: {
            /** @description The same as on a finding: decided on the one that leads the diagnosis, which the answer names as `finding` */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FindingDecisions"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_standings: {
        parameters: {
            query: {
                /** @description Numbers of findings, separated by commas */
                findings: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Where some findings stand */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StandingList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_ofUnit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What was decided on a unit's findings */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StandingList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_accuracy: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How often what was said was right, by visits */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Accuracy"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    decision_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What can be wrong, in words */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CauseList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_plan: {
        parameters: {
            query?: {
                /** @description Whose plan; default: one’s own */
                person?: number;
                /** @description Last day, at each site, whose work is wanted; default: all */
                until?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What is handed over to a person, by site, with what else is due there */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DayPlan"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_download: {
        parameters: {
            query?: {
                /** @description Whose plan; default: one’s own */
                person?: number;
                /** @description Last day, at each site, whose work is wanted; default: all */
                until?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description iCalendar, RFC 5545 */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/calendar": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_subscribed: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                file: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description iCalendar, RFC 5545 */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/calendar": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_address: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The person's own calendar address */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CalendarAddress"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_makeAddress: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A new address at which calendar programs read one’s own work; an earlier one becomes void */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["NewCalendarAddress"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    plan_voidAddress: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The calendar address is void */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    energy_fleet: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Energy and money given away while things wait, and saved since they were put right, by site */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["FleetEnergy"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    energy_units: {
        parameters: {
            query: {
                /** @description {siteKey}/{unitKey}, separated by commas */
                units: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same of some units */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitEnergyList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    report_report: {
        parameters: {
            query?: {
                /** @description First calendar day at the site; default: 30 days with the last one */
                from?: string;
                /** @description Last calendar day at the site; default: today */
                to?: string;
            };
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What was found, done, proven and saved at one site over some days */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SiteReport"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_session: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Who is signed in, and what they may do */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_signIn: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SignIn"];
            };
        };
        responses: {
            /** @description Signed in; the session is in the cookie */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_signOut: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The session has ended */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SignedOut"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_beginOpenId: {
        parameters: {
            query?: {
                /** @description Path of the page to go on to */
                to?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description To the OpenID provider; 404: none is set */
            303: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_finishOpenId: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Back from the OpenID provider, signed in where there is an account */
            303: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_switchTo: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PersonSwitch"];
            };
        };
        responses: {
            /** @description In the demo: goes on as another invented person */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_changePassword: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordChange"];
            };
        };
        responses: {
            /** @description The password is changed, other sessions have ended */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_sessions: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The person’s own sessions, newest first */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OwnSessions"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_endOne: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The session has ended */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_look: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["InvitationLook"];
            };
        };
        responses: {
            /** @description What a one-time link is for */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Invitation"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    session_join: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Joining"];
            };
        };
        responses: {
            /** @description The link is used up and its owner signed in */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_begin: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordShown"];
            };
        };
        responses: {
            /** @description The secret of a new second factor; it is asked for once its first code has been confirmed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SecondFactorEnrolment"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_confirm: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Code"];
            };
        };
        responses: {
            /** @description The second factor is in use, other sessions have ended; with the recovery codes */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ConfirmedSecondFactor"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_left: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description How many recovery codes are left */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RecoveryCodesLeft"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_renew: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordAndCodeShown"];
            };
        };
        responses: {
            /** @description New recovery codes; the earlier ones work no more */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RecoveryCodes"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_off: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordAndCodeShown"];
            };
        };
        responses: {
            /** @description No code is asked for any more, other sessions have ended */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_takeAway: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The account has no second factor any more; its sessions have ended */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_rule: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Roles that need a second factor */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SecondFactorRule"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    secondfactor_setRule: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SecondFactorRule"];
            };
        };
        responses: {
            /** @description The same as changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SecondFactorRule"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_people: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description People to whom work can be handed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["People"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description All accounts */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AccountList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_invite: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Invite"];
            };
        };
        responses: {
            /** @description A link by which somebody makes an account */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OneTimeLink"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_change: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["AccountChange"];
            };
        };
        responses: {
            /** @description The account as changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Account"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_link: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A link by which the person sets a new password */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OneTimeLink"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_endSessions: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description All sessions of the account have ended */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_log: {
        parameters: {
            query?: {
                /** @description `next` of the page before; left out: the newest */
                before?: number;
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Who did what and when, newest first */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AuditLog"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_ownTokens: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The person's own API tokens */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ApiTokenList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_makeToken: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["ApiTokenWish"];
            };
        };
        responses: {
            /** @description A new API token with its secret */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["NewApiToken"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_revoke: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The token is not valid any more */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_own: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description What the person wants to be told */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OwnNotices"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_keep: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["NoticeWish"];
            };
        };
        responses: {
            /** @description Kept as sent */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OwnNotices"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_test: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A test message is on its way to the person */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OwnNotices"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_mail: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The mail server and what waits for it */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["MailState"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_checkMail: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Whether the mail server lets this server in */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["MailCheck"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_deadLetters: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Messages that were given up */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DeadLetterList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    notice_again: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description It is tried from the start again */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DeadLetterList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Programs that are told of changes */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WebhookList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_make: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WebhookWish"];
            };
        };
        responses: {
            /** @description A new webhook with its secret */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WebhookSecret"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_remove: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The webhook is gone, with what was to be sent to it */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_change: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WebhookChange"];
            };
        };
        responses: {
            /** @description The webhook as changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Webhook"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_secret: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A new secret; the old one is void */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WebhookSecret"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_test: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A test message is on its way */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DeliveryList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    webhook_deliveries: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The last messages to the webhook */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["DeliveryList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    metrics_metrics: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Lag, due work, failures and sizes as OpenMetrics text */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/openmetrics-text": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_sites: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description All sites, as registered */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredSites"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_addSite: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SiteWish"];
            };
        };
        responses: {
            /** @description The new site */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredSite"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_site: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A site, its units and how it was changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredSite"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_changeSite: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SiteWish"];
            };
        };
        responses: {
            /** @description The site as changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredSite"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_check: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["UnitCheck"];
            };
        };
        responses: {
            /** @description What cannot or hardly can be right in a draft, and what its unknown figures cost; writes nothing */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitJudged"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_addUnit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["UnitWish"];
            };
        };
        responses: {
            /** @description The new unit */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_unit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A unit, as registered and as it was changed */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_changeUnit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["UnitChange"];
            };
        };
        responses: {
            /** @description The unit as changed. 409: somebody changed it meanwhile; read again */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_retire: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["RegistryReason"];
            };
        };
        responses: {
            /** @description The unit, out of service */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_bringBack: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["RegistryReason"];
            };
        };
        responses: {
            /** @description The unit, in service again */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_move: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["UnitMove"];
            };
        };
        responses: {
            /** @description The unit at its new place */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_moveCircuit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                circuit: number;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["CircuitMove"];
            };
        };
        responses: {
            /** @description The unit that the circuit belongs to now */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registry_moveModule: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
                module: number;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["ModuleMove"];
            };
        };
        responses: {
            /** @description The unit that the module belongs to now */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RegisteredUnit"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    gateway_list: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A site's gateways: their keys, when they were let in, what they were refused */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["GatewayList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    gateway_make: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["GatewayWish"];
            };
        };
        responses: {
            /** @description A new key with its password */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["NewGateway"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    gateway_revoke: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                number: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The key is not valid any more */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    heard_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Senders that are heard and not registered, with what they carry and how often */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["HeardList"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registrytable_preview: {
        parameters: {
            query?: {
                /** @description JSON array: what each column is, as `fields` names it, or null; left out: guessed by the heads */
                mapping?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** @description CSV or XLSX */
        requestBody: {
            content: {
                "application/octet-stream": string;
            };
        };
        responses: {
            /** @description What a spreadsheet would add and change, and what is wrong in it, cell by cell; writes nothing */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["TableOutcome"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registrytable_apply: {
        parameters: {
            query: {
                /** @description JSON array: what each column is, as `fields` names it, or null; left out: guessed by the heads */
                mapping?: string;
                reason: string;
                /** @description From when on the changes hold; left out: it was always so */
                holdsFrom?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** @description CSV or XLSX */
        requestBody: {
            content: {
                "application/octet-stream": string;
            };
        };
        responses: {
            /** @description The spreadsheet, read in as a whole; 400 and nothing written while anything in it is wrong */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["TableOutcome"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registrytable_csv: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The registry, as `POST /api/registry/table` reads it */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    registrytable_xlsx: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same as a workbook */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_unit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Which metrics of Sparkplug B are which quantities of a unit, and which edge nodes are heard */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitPoints"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_change: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["UnitPointsWish"];
            };
        };
        responses: {
            /** @description The unit with these metrics and no others. 409: somebody changed it meanwhile; read again */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["UnitPoints"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_metrics: {
        parameters: {
            query: {
                group: string;
                edge: string;
                /** @description Left out: the edge node itself */
                device?: string;
            };
            header?: never;
            path: {
                site: string;
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The metrics that an edge node or device announced, each with what it probably is of the unit */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SparkplugMetrics"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_preview: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** @description CSV or XLSX */
        requestBody: {
            content: {
                "application/octet-stream": string;
            };
        };
        responses: {
            /** @description What a spreadsheet of metrics would change, and what is wrong in it; writes nothing */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PointTableOutcome"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_apply: {
        parameters: {
            query: {
                reason: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** @description CSV or XLSX */
        requestBody: {
            content: {
                "application/octet-stream": string;
            };
        };
        responses: {
            /** @description The spreadsheet, read in as a whole: the rows of a unit are all of its metrics. 400 while anything in it is wrong */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PointTableOutcome"];
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_csv: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description All metrics, as `POST /api/registry/sparkplug` reads them */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sparkplug_xlsx: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The same as a workbook */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": string;
                };
            };
            /** @description Problem details to RFC 9457 */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
}
