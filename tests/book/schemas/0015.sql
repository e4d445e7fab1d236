-- A book of schema 15 with an invented student, as SQLite dumps it.
BEGIN TRANSACTION;
CREATE TABLE access_log (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	at DATETIME NOT NULL, 
	who TEXT NOT NULL, 
	role VARCHAR(8) NOT NULL, 
	deed VARCHAR(8) NOT NULL, 
	what TEXT NOT NULL, 
	student_id INTEGER, 
	lesson_id INTEGER, 
	address TEXT NOT NULL, 
	CONSTRAINT ck_access_log_deed CHECK (deed IN ('saw', 'changed', 'entered', 'left', 'failed', 'refused'))
);
INSERT INTO "access_log" VALUES(1,'2026-02-01 08:00:00.250000','Olga Owner','owner','saw','/students/{student_id}',1,NULL,'192.0.2.7');
CREATE TABLE access_settings (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	"key" VARCHAR(40) NOT NULL, 
	value TEXT NOT NULL, 
	CONSTRAINT uq_access_settings_key UNIQUE ("key")
);
INSERT INTO "access_settings" VALUES(1,'listens','network');
CREATE TABLE accounts (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name TEXT NOT NULL, 
	folded_name VARCHAR(200) NOT NULL, 
	role VARCHAR(8) NOT NULL, 
	password_hash TEXT NOT NULL, 
	added_at DATETIME NOT NULL, 
	password_at DATETIME NOT NULL, 
	CONSTRAINT ck_accounts_role CHECK (role IN ('owner', 'coach')), 
	CONSTRAINT uq_accounts_folded_name UNIQUE (folded_name)
);
INSERT INTO "accounts" VALUES(1,'Olga Owner','olga owner','owner','$argon2id$v=19$m=8,t=1,p=1$c29tZXNhbHQ$RNDm7mhy31g','2026-02-01 08:00:00.250000','2026-02-01 08:00:00.250000');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0015');
CREATE TABLE arrivals (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	bay_id INTEGER NOT NULL, 
	"key" TEXT NOT NULL, 
	shot_id INTEGER, 
	arrived_at DATETIME NOT NULL, 
	CONSTRAINT fk_arrivals_bay_id FOREIGN KEY(bay_id) REFERENCES bays (id), 
	CONSTRAINT fk_arrivals_shot_id FOREIGN KEY(shot_id) REFERENCES shots (id), 
	CONSTRAINT uq_arrivals_bay_id_key UNIQUE (bay_id, "key"), 
	CONSTRAINT uq_arrivals_shot_id UNIQUE (shot_id)
);
INSERT INTO "arrivals" VALUES(1,1,'monitor-0001',5,'2026-02-01 08:00:00.250000');
INSERT INTO "arrivals" VALUES(2,1,'before-0001',NULL,'2026-02-01 08:00:00.250000');
CREATE TABLE bays (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name TEXT NOT NULL, 
	token_digest VARCHAR(64) NOT NULL, 
	lesson_id INTEGER, 
	added_at DATETIME NOT NULL, 
	withdrawn_at DATETIME, 
	CONSTRAINT fk_bays_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id), 
	CONSTRAINT uq_bays_name UNIQUE (name)
);
INSERT INTO "bays" VALUES(1,'bay-1','abababababababababababababababababababababababababababababababab',1,'2026-02-01 08:00:00.250000',NULL);
CREATE TABLE blocks (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	label TEXT NOT NULL, 
	role VARCHAR(16) NOT NULL, 
	CONSTRAINT ck_blocks_role CHECK (role IN ('before', 'with_change', 'other')), 
	CONSTRAINT fk_blocks_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id), 
	CONSTRAINT uq_blocks_lesson_id_place UNIQUE (lesson_id, place)
);
INSERT INTO "blocks" VALUES(1,1,1,'before','before');
INSERT INTO "blocks" VALUES(2,1,2,'cue','with_change');
CREATE TABLE cautions_given (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	"key" VARCHAR(64) NOT NULL, 
	text TEXT NOT NULL, 
	given_at DATETIME NOT NULL, 
	CONSTRAINT fk_cautions_given_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "cautions_given" VALUES(1,1,'warm_up','Warm up first.','2026-02-01 08:00:00.250000');
CREATE TABLE changes (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER, 
	at DATETIME NOT NULL, 
	CONSTRAINT fk_changes_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "changes" VALUES(1,NULL,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(2,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(3,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(4,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(5,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(6,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(7,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(8,NULL,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(9,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(10,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(11,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(12,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(13,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(14,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(15,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(16,1,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(17,NULL,'2026-02-01 08:00:00.250000');
INSERT INTO "changes" VALUES(18,1,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(19,1,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(20,1,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(21,1,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(22,NULL,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(23,NULL,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(24,NULL,'2026-02-01 09:00:00.000000');
INSERT INTO "changes" VALUES(25,NULL,'2026-02-01 09:00:00.000000');
CREATE TABLE clearances (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	clinician TEXT NOT NULL, 
	on_day DATE NOT NULL, 
	until_day DATE, 
	covers_json TEXT NOT NULL, 
	limits TEXT NOT NULL, 
	recorded_at DATETIME NOT NULL, 
	CONSTRAINT ck_clearances_clinician_named CHECK (clinician <> ''), 
	CONSTRAINT fk_clearances_student_id FOREIGN KEY(student_id) REFERENCES students (id)
);
INSERT INTO "clearances" VALUES(1,1,'Dr Nobody','2026-02-01',NULL,'["pain_now"]','','2026-02-01 09:00:00.000000');
CREATE TABLE cue_names (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	spelling TEXT NOT NULL, 
	means TEXT NOT NULL, 
	saved_at DATETIME NOT NULL
);
INSERT INTO "cue_names" VALUES(1,'press','press the lead foot','2026-02-01 08:00:00.250000');
CREATE TABLE force_recordings (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	raw_file_id INTEGER NOT NULL, 
	block_id INTEGER, 
	shot_id INTEGER, 
	linked_by VARCHAR(8), 
	choices_json TEXT NOT NULL, 
	mapping_json TEXT, 
	strike_s DOUBLE, 
	strike_from VARCHAR(16), 
	left_out_reason TEXT, 
	received_at DATETIME NOT NULL, 
	CONSTRAINT ck_force_recordings_linked_by CHECK (linked_by IN ('time', 'order', 'hand')), 
	CONSTRAINT ck_force_recordings_link_known CHECK ((shot_id IS NULL) = (linked_by IS NULL)), 
	CONSTRAINT ck_force_recordings_strike_from CHECK (strike_from IN ('launch monitor', 'set by hand')), 
	CONSTRAINT ck_force_recordings_strike_known CHECK ((strike_s IS NULL) = (strike_from IS NULL)), 
	CONSTRAINT ck_force_recordings_reason_given CHECK (left_out_reason <> ''), 
	CONSTRAINT fk_force_recordings_block_id FOREIGN KEY(block_id) REFERENCES blocks (id), 
	CONSTRAINT fk_force_recordings_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id), 
	CONSTRAINT fk_force_recordings_raw_file_id FOREIGN KEY(raw_file_id) REFERENCES raw_files (id), 
	CONSTRAINT fk_force_recordings_shot_id FOREIGN KEY(shot_id) REFERENCES shots (id), 
	CONSTRAINT uq_force_recordings_lesson_id_place UNIQUE (lesson_id, place), 
	CONSTRAINT uq_force_recordings_raw_file_id UNIQUE (raw_file_id), 
	CONSTRAINT uq_force_recordings_shot_id UNIQUE (shot_id)
);
INSERT INTO "force_recordings" VALUES(1,1,1,2,2,4,'hand','{"hand":"left"}',NULL,2.125,'set by hand',NULL,'2026-02-01 09:00:00.000000');
CREATE TABLE home_tables (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	homework_id INTEGER NOT NULL, 
	session INTEGER, 
	done_on DATE NOT NULL, 
	place TEXT NOT NULL, 
	name TEXT NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	size_bytes INTEGER NOT NULL, 
	shots_json TEXT NOT NULL, 
	n_shots INTEGER NOT NULL, 
	problems_json TEXT NOT NULL, 
	left_out_reason TEXT, 
	given_by VARCHAR(8) NOT NULL, 
	given_at DATETIME NOT NULL, 
	data BLOB NOT NULL, 
	CONSTRAINT ck_home_tables_session CHECK (session >= 1), 
	CONSTRAINT ck_home_tables_shots CHECK (n_shots >= 0), 
	CONSTRAINT ck_home_tables_place_named CHECK (place <> ''), 
	CONSTRAINT ck_home_tables_reason_given CHECK (left_out_reason <> ''), 
	CONSTRAINT ck_home_tables_given_by CHECK (given_by IN ('student', 'coach')), 
	CONSTRAINT fk_home_tables_homework_id FOREIGN KEY(homework_id) REFERENCES homework (id), 
	CONSTRAINT uq_home_tables_homework_id_digest UNIQUE (homework_id, digest)
);
INSERT INTO "home_tables" VALUES(1,1,2,'2026-02-05','range','balls.csv','2e72ccc8f4c6b0b78137de823f6d7cce770446f0dde83116e4b7bddb5c484b8d',8,'[{"row":2,"values":{"carry":[0.30000000000000004,"yd"]}}]',1,'[]','the wrong file','student','2026-02-05 08:00:00.250000',X'43617272790D0AFF');
CREATE TABLE homework (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	plan_json TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT fk_homework_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "homework" VALUES(1,1,'{"n":2}','2026-02-01 08:00:00.250000');
CREATE TABLE homework_logs (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	homework_id INTEGER NOT NULL, 
	session INTEGER NOT NULL, 
	done_on DATE NOT NULL, 
	n_balls INTEGER NOT NULL, 
	n_counted INTEGER NOT NULL, 
	n_met INTEGER NOT NULL, 
	pain BOOLEAN NOT NULL, 
	notes TEXT NOT NULL, 
	logged_by VARCHAR(8) NOT NULL, 
	logged_at DATETIME NOT NULL, 
	CONSTRAINT ck_homework_logs_logged_by CHECK (logged_by IN ('student', 'coach')), 
	CONSTRAINT ck_homework_logs_balls CHECK (n_balls >= 0), 
	CONSTRAINT ck_homework_logs_met CHECK (n_met >= 0 AND n_met <= n_counted), 
	CONSTRAINT fk_homework_logs_homework_id FOREIGN KEY(homework_id) REFERENCES homework (id)
);
INSERT INTO "homework_logs" VALUES(1,1,1,'2026-02-03',40,20,12,0,'Windy
again','student','2026-02-01 08:00:00.250000');
CREATE TABLE imports (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	digest VARCHAR(64) NOT NULL, 
	brought_at DATETIME NOT NULL, 
	CONSTRAINT uq_imports_digest UNIQUE (digest)
);
INSERT INTO "imports" VALUES(1,'abababababababababababababababababababababababababababababababab','2026-02-02 08:00:00.000000');
CREATE TABLE jobs (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	kind VARCHAR(16) NOT NULL, 
	change INTEGER NOT NULL, 
	state VARCHAR(8) NOT NULL, 
	n_done INTEGER NOT NULL, 
	n_steps INTEGER NOT NULL, 
	result_json TEXT, 
	asked_at DATETIME NOT NULL, 
	ended_at DATETIME, about TEXT DEFAULT '' NOT NULL, whose TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT ck_jobs_progress CHECK (n_done >= 0 AND n_done <= n_steps), 
	CONSTRAINT ck_jobs_state CHECK (state IN ('waiting', 'at work', 'done', 'failed'))
);
INSERT INTO "jobs" VALUES(1,'backup',3,'done',1,1,'"lessons-by-hand-20260201T080000Z.book"','2026-02-01 08:00:00.250000','2026-02-01 08:00:01.000000','book','account 1');
CREATE TABLE judgements (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	made_at DATETIME NOT NULL, 
	version TEXT NOT NULL, 
	answer_json TEXT NOT NULL, 
	CONSTRAINT fk_judgements_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "judgements" VALUES(1,1,'2026-02-01 08:00:00.250000','0.1.0','{"n":1}');
CREATE TABLE jump_files (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	size_bytes INTEGER NOT NULL, 
	received_at DATETIME NOT NULL, 
	data BLOB NOT NULL, 
	CONSTRAINT fk_jump_files_student_id FOREIGN KEY(student_id) REFERENCES students (id), 
	CONSTRAINT uq_jump_files_student_id_digest UNIQUE (student_id, digest)
);
INSERT INTO "jump_files" VALUES(1,1,'jump.csv','a1b8a735bed6467c9c24d7a429f48b7a1eef7689f7fc342947d13605dd13eb04',5,'2026-02-01 09:00:00.000000',X'467A0D0AFF');
CREATE TABLE jumps (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	done_on DATE NOT NULL, 
	kind VARCHAR(16) NOT NULL, 
	height_m DOUBLE NOT NULL, 
	values_json TEXT NOT NULL, 
	jump_file_id INTEGER, 
	left_out_reason TEXT, 
	added_at DATETIME NOT NULL, 
	CONSTRAINT ck_jumps_kind CHECK (kind IN ('impulse', 'flight time', 'reach')), 
	CONSTRAINT ck_jumps_file_known CHECK ((kind = 'impulse') = (jump_file_id IS NOT NULL)), 
	CONSTRAINT ck_jumps_reason_given CHECK (left_out_reason <> ''), 
	CONSTRAINT fk_jumps_jump_file_id FOREIGN KEY(jump_file_id) REFERENCES jump_files (id), 
	CONSTRAINT fk_jumps_student_id FOREIGN KEY(student_id) REFERENCES students (id)
);
INSERT INTO "jumps" VALUES(1,1,'2026-02-01','impulse',3.00000000000000044408e-01,'{"n":1}',1,NULL,'2026-02-01 09:00:00.000000');
CREATE TABLE lessons (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	held_on DATE NOT NULL, 
	title TEXT NOT NULL, 
	change TEXT NOT NULL, 
	club TEXT, 
	notes TEXT NOT NULL, place TEXT DEFAULT 'studio' NOT NULL, 
	CONSTRAINT fk_lessons_student_id FOREIGN KEY(student_id) REFERENCES students (id)
);
INSERT INTO "lessons" VALUES(1,1,'2026-02-01','Driver','Press the lead foot','Driver','Windy
and cold','Hill Farm');
CREATE TABLE mappings (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	header_digest VARCHAR(64) NOT NULL, 
	header_key TEXT NOT NULL, 
	mapping_json TEXT NOT NULL, 
	saved_at DATETIME NOT NULL
);
INSERT INTO "mappings" VALUES(1,'9ed55bd72a2bc3e99402c836a5046cc0dab5e9931630384a50721e95bc9f6195','carry|smash','{"columns":[]}','2026-02-01 08:00:00.250000');
CREATE TABLE merges (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	other_number INTEGER NOT NULL, 
	other_added_at DATETIME NOT NULL, 
	other_json TEXT NOT NULL, 
	merged_at DATETIME NOT NULL, 
	CONSTRAINT fk_merges_student_id FOREIGN KEY(student_id) REFERENCES students (id)
);
INSERT INTO "merges" VALUES(1,1,7,'2026-01-01 08:00:00.000000','{"student":{"name":"Z. Example"}}','2026-02-02 08:00:00.000000');
CREATE TABLE own_drills (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	"key" TEXT NOT NULL, 
	drill_json TEXT, 
	saved_at DATETIME NOT NULL
);
INSERT INTO "own_drills" VALUES(1,'own_rope','{"n":3}','2026-02-01 08:00:00.250000');
CREATE TABLE planned_tests (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	kind VARCHAR(16) NOT NULL, 
	due_from DATE NOT NULL, 
	due_to DATE NOT NULL, 
	club TEXT, 
	words TEXT NOT NULL, 
	done_lesson_id INTEGER, 
	dropped BOOLEAN NOT NULL, 
	CONSTRAINT ck_planned_tests_due CHECK (due_from <= due_to), 
	CONSTRAINT ck_planned_tests_kind CHECK (kind IN ('retention', 'transfer')), 
	CONSTRAINT fk_planned_tests_done_lesson_id FOREIGN KEY(done_lesson_id) REFERENCES lessons (id), 
	CONSTRAINT fk_planned_tests_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "planned_tests" VALUES(1,1,'retention','2026-02-07','2026-02-10',NULL,'the same club',1,0);
CREATE TABLE private_links (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	homework_id INTEGER NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	made_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	withdrawn_at DATETIME, 
	CONSTRAINT fk_private_links_homework_id FOREIGN KEY(homework_id) REFERENCES homework (id), 
	CONSTRAINT uq_private_links_digest UNIQUE (digest)
);
INSERT INTO "private_links" VALUES(1,1,'abababababababababababababababababababababababababababababababab','2026-02-01 08:00:00.250000','2026-03-01 08:00:00.000000','2026-02-01 08:00:00.250000');
CREATE TABLE raw_files (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	size_bytes INTEGER NOT NULL, 
	received_at DATETIME NOT NULL, 
	imported_at DATETIME, 
	grew_from_id INTEGER, 
	data BLOB NOT NULL, 
	CONSTRAINT fk_raw_files_grew_from_id FOREIGN KEY(grew_from_id) REFERENCES raw_files (id), 
	CONSTRAINT fk_raw_files_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id), 
	CONSTRAINT uq_raw_files_lesson_id_digest UNIQUE (lesson_id, digest)
);
INSERT INTO "raw_files" VALUES(1,1,'shots.csv','e40d8c843708d7fdcea214366a995dab34045b08c08f2da4d4d93ffa09055d88',15,'2026-02-01 08:00:00.250000','2026-02-01 08:00:00.250000',NULL,X'43617272792C536D6173680D0AFF00');
INSERT INTO "raw_files" VALUES(2,1,'swing.c3d','45b51d64fdd1adce25aa5fbfc98710835ec811c276d438da9d8ff8f9af6837c5',3,'2026-02-01 09:00:00.000000',NULL,NULL,X'025000');
CREATE TABLE running_plans (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	plan_json TEXT NOT NULL, 
	from_place INTEGER NOT NULL, 
	by_itself BOOLEAN NOT NULL, 
	started_at DATETIME NOT NULL, 
	stopped_at DATETIME, 
	CONSTRAINT ck_running_plans_from_place CHECK (from_place >= 0), 
	CONSTRAINT fk_running_plans_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id)
);
INSERT INTO "running_plans" VALUES(1,1,'{"n":0}',0,0,'2026-02-01 08:00:00.250000','2026-02-01 08:00:00.250000');
INSERT INTO "running_plans" VALUES(2,1,'{"n":1}',4,1,'2026-02-01 08:00:00.250000',NULL);
CREATE TABLE screenings (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	student_id INTEGER NOT NULL, 
	on_day DATE NOT NULL, 
	junior BOOLEAN NOT NULL, 
	answers_json TEXT NOT NULL, 
	asked_at DATETIME NOT NULL, 
	CONSTRAINT fk_screenings_student_id FOREIGN KEY(student_id) REFERENCES students (id)
);
INSERT INTO "screenings" VALUES(1,1,'2026-02-01',0,'{"pain_now": true}','2026-02-01 09:00:00.000000');
CREATE TABLE screens (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	bay_id INTEGER NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	made_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	withdrawn_at DATETIME, 
	CONSTRAINT fk_screens_bay_id FOREIGN KEY(bay_id) REFERENCES bays (id), 
	CONSTRAINT uq_screens_digest UNIQUE (digest)
);
INSERT INTO "screens" VALUES(1,1,'cdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcd','2026-02-01 08:00:00.250000','2026-02-15 08:00:00.250000',NULL);
CREATE TABLE "shots" (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	block_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	club TEXT, 
	readings TEXT NOT NULL, 
	source VARCHAR(8) NOT NULL, 
	raw_file_id INTEGER, 
	file_row INTEGER, 
	left_out_reason TEXT, 
	hit_at DATETIME NOT NULL, typed_key TEXT, 
	CONSTRAINT ck_shots_file_known CHECK ((source = 'file') = (raw_file_id IS NOT NULL)), 
	CONSTRAINT ck_shots_reason_given CHECK (left_out_reason <> ''), 
	CONSTRAINT ck_shots_source CHECK (source IN ('file', 'typed', 'live')), 
	CONSTRAINT fk_shots_block_id FOREIGN KEY(block_id) REFERENCES blocks (id), 
	CONSTRAINT fk_shots_lesson_id FOREIGN KEY(lesson_id) REFERENCES lessons (id), 
	CONSTRAINT fk_shots_raw_file_id FOREIGN KEY(raw_file_id) REFERENCES raw_files (id), 
	CONSTRAINT uq_shots_lesson_id_place UNIQUE (lesson_id, place)
);
INSERT INTO "shots" VALUES(1,1,1,1,'Driver','{"carry":[0.30000000000000004,"yd"],"smash_factor":[1.48,null]}','file',1,2,NULL,'2026-02-01 08:00:00.250000',NULL);
INSERT INTO "shots" VALUES(2,1,1,2,'Driver','{"carry":[201.5,"yd"]}','file',1,3,'phone rang','2026-02-01 08:00:00.250000',NULL);
INSERT INTO "shots" VALUES(3,1,2,3,'Driver','{"carry":[210.0,"yd"]}','file',1,4,NULL,'2026-02-01 08:00:00.250000',NULL);
INSERT INTO "shots" VALUES(4,1,2,4,'Driver','{"carry":[212.0,"yd"]}','typed',NULL,NULL,NULL,'2026-02-01 08:00:00.250000','c0ffee');
INSERT INTO "shots" VALUES(5,1,2,5,'Driver','{"carry":[211.5,"yd"]}','live',NULL,NULL,NULL,'2026-02-01 08:00:00.250000',NULL);
CREATE TABLE sign_in_tries (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	digest VARCHAR(64) NOT NULL, 
	n_failed INTEGER NOT NULL, 
	last_at DATETIME NOT NULL, 
	CONSTRAINT uq_sign_in_tries_digest UNIQUE (digest)
);
INSERT INTO "sign_in_tries" VALUES(1,'2323232323232323232323232323232323232323232323232323232323232323',2,'2026-02-01 08:00:00.250000');
CREATE TABLE sign_ins (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	digest VARCHAR(64) NOT NULL, 
	account_id INTEGER, 
	screen_id INTEGER, 
	begun_at DATETIME NOT NULL, 
	seen_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	CONSTRAINT ck_sign_ins_one CHECK ((account_id IS NULL) <> (screen_id IS NULL)), 
	CONSTRAINT fk_sign_ins_account_id FOREIGN KEY(account_id) REFERENCES accounts (id), 
	CONSTRAINT fk_sign_ins_screen_id FOREIGN KEY(screen_id) REFERENCES screens (id), 
	CONSTRAINT uq_sign_ins_digest UNIQUE (digest)
);
INSERT INTO "sign_ins" VALUES(1,'efefefefefefefefefefefefefefefefefefefefefefefefefefefefefefefef',1,NULL,'2026-02-01 08:00:00.250000','2026-02-01 08:00:00.250000','2026-02-15 08:00:00.250000');
INSERT INTO "sign_ins" VALUES(2,'0101010101010101010101010101010101010101010101010101010101010101',NULL,1,'2026-02-01 08:00:00.250000','2026-02-01 08:00:00.250000','2026-02-15 08:00:00.250000');
CREATE TABLE students (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name TEXT NOT NULL, 
	hand VARCHAR(8) NOT NULL, 
	goals TEXT NOT NULL, 
	cautions TEXT NOT NULL, 
	invented BOOLEAN NOT NULL, 
	added_at DATETIME NOT NULL, archived_at DATETIME, consent_on DATE, consent_words TEXT DEFAULT '' NOT NULL, minor BOOLEAN DEFAULT 0 NOT NULL, guardian TEXT DEFAULT '' NOT NULL, language TEXT DEFAULT 'en' NOT NULL, 
	CONSTRAINT ck_students_hand CHECK (hand IN ('right', 'left'))
);
INSERT INTO "students" VALUES(1,'Zoë Example','left','Longer; a ''quoted'' goal','Lower back',1,'2026-02-01 08:00:00.250000','2026-02-02 08:00:00.000000','2026-01-31','Agreed in writing',1,'Gro Example, 555 0100','de');
CREATE TABLE studio_settings (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	"key" VARCHAR(80) NOT NULL, 
	value_json TEXT, 
	saved_by TEXT NOT NULL, 
	saved_at DATETIME NOT NULL
);
INSERT INTO "studio_settings" VALUES(1,'units','{"speed":"m/s"}','Olga Owner','2026-02-01 08:00:00.250000');
INSERT INTO "studio_settings" VALUES(2,'units','{"speed":"km/h"}','Olga Owner','2026-02-01 08:00:00.250000');
CREATE TABLE watched_files (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	bay_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	device TEXT NOT NULL, 
	identity TEXT NOT NULL, 
	rows_json TEXT NOT NULL, 
	CONSTRAINT fk_watched_files_bay_id FOREIGN KEY(bay_id) REFERENCES bays (id), 
	CONSTRAINT uq_watched_files_bay_id_identity UNIQUE (bay_id, identity)
);
INSERT INTO "watched_files" VALUES(1,1,'balls.csv','1:2','balls.csv 1','["0123"]');
CREATE INDEX ix_mappings_header_digest ON mappings (header_digest);
CREATE INDEX ix_lessons_student_id ON lessons (student_id);
CREATE INDEX ix_changes_lesson_id_id ON changes (lesson_id, id);
CREATE INDEX ix_judgements_lesson_id ON judgements (lesson_id);
CREATE INDEX ix_homework_lesson_id ON homework (lesson_id);
CREATE INDEX ix_private_links_homework_id ON private_links (homework_id);
CREATE INDEX ix_homework_logs_homework_id ON homework_logs (homework_id);
CREATE INDEX ix_planned_tests_lesson_id ON planned_tests (lesson_id);
CREATE INDEX ix_cautions_given_lesson_id ON cautions_given (lesson_id);
CREATE INDEX ix_jumps_student_id ON jumps (student_id);
CREATE INDEX ix_screenings_student_id ON screenings (student_id);
CREATE INDEX ix_clearances_student_id ON clearances (student_id);
CREATE INDEX ix_shots_block_id ON shots (block_id);
CREATE INDEX ix_shots_raw_file_id ON shots (raw_file_id);
CREATE INDEX ix_bays_lesson_id ON bays (lesson_id);
CREATE INDEX ix_merges_student_id ON merges (student_id);
CREATE INDEX ix_screens_bay_id ON screens (bay_id);
CREATE INDEX ix_sign_ins_account_id ON sign_ins (account_id);
CREATE INDEX ix_sign_ins_screen_id ON sign_ins (screen_id);
CREATE INDEX ix_access_log_at ON access_log (at);
CREATE INDEX ix_access_log_student_id ON access_log (student_id);
CREATE TRIGGER access_log_no_update BEFORE UPDATE ON access_log BEGIN SELECT RAISE(ABORT, 'the log of access is only added to'); END;
CREATE TRIGGER access_log_no_delete BEFORE DELETE ON access_log BEGIN SELECT RAISE(ABORT, 'the log of access is only added to'); END;
CREATE INDEX ix_jobs_kind ON jobs (kind);
CREATE INDEX ix_studio_settings_key ON studio_settings ("key");
CREATE INDEX ix_running_plans_lesson_id ON running_plans (lesson_id);
CREATE UNIQUE INDEX ix_shots_typed_key ON shots (lesson_id, typed_key);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('changes',25);
INSERT INTO "sqlite_sequence" VALUES('students',1);
INSERT INTO "sqlite_sequence" VALUES('lessons',1);
INSERT INTO "sqlite_sequence" VALUES('raw_files',2);
INSERT INTO "sqlite_sequence" VALUES('blocks',2);
INSERT INTO "sqlite_sequence" VALUES('mappings',1);
INSERT INTO "sqlite_sequence" VALUES('judgements',1);
INSERT INTO "sqlite_sequence" VALUES('homework',1);
INSERT INTO "sqlite_sequence" VALUES('private_links',1);
INSERT INTO "sqlite_sequence" VALUES('homework_logs',1);
INSERT INTO "sqlite_sequence" VALUES('planned_tests',1);
INSERT INTO "sqlite_sequence" VALUES('cautions_given',1);
INSERT INTO "sqlite_sequence" VALUES('cue_names',1);
INSERT INTO "sqlite_sequence" VALUES('force_recordings',1);
INSERT INTO "sqlite_sequence" VALUES('jump_files',1);
INSERT INTO "sqlite_sequence" VALUES('jumps',1);
INSERT INTO "sqlite_sequence" VALUES('screenings',1);
INSERT INTO "sqlite_sequence" VALUES('clearances',1);
INSERT INTO "sqlite_sequence" VALUES('shots',5);
INSERT INTO "sqlite_sequence" VALUES('bays',1);
INSERT INTO "sqlite_sequence" VALUES('arrivals',2);
INSERT INTO "sqlite_sequence" VALUES('watched_files',1);
INSERT INTO "sqlite_sequence" VALUES('merges',1);
INSERT INTO "sqlite_sequence" VALUES('imports',1);
INSERT INTO "sqlite_sequence" VALUES('accounts',1);
INSERT INTO "sqlite_sequence" VALUES('screens',1);
INSERT INTO "sqlite_sequence" VALUES('sign_ins',2);
INSERT INTO "sqlite_sequence" VALUES('sign_in_tries',1);
INSERT INTO "sqlite_sequence" VALUES('access_settings',1);
INSERT INTO "sqlite_sequence" VALUES('access_log',1);
INSERT INTO "sqlite_sequence" VALUES('jobs',1);
INSERT INTO "sqlite_sequence" VALUES('own_drills',1);
INSERT INTO "sqlite_sequence" VALUES('home_tables',1);
INSERT INTO "sqlite_sequence" VALUES('studio_settings',2);
INSERT INTO "sqlite_sequence" VALUES('running_plans',2);
COMMIT;
