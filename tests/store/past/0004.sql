BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0004');
CREATE TABLE copies (
	id INTEGER NOT NULL, 
	file TEXT NOT NULL, 
	file_hash VARCHAR(64) NOT NULL, 
	n_rows INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "copies" VALUES(1,'copy.zip','0000000000000000000000000000000000000000000000000000000000000000',5,'2026-03-01T09:30:00.000000+00:00');
CREATE TABLE drafts (
	pole_id INTEGER NOT NULL, 
	parent INTEGER NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (pole_id), 
	CONSTRAINT fk_drafts_pole_id FOREIGN KEY(pole_id) REFERENCES poles (id), 
	CONSTRAINT fk_drafts_pole_id_parent FOREIGN KEY(pole_id, parent) REFERENCES revisions (pole_id, number)
);
INSERT INTO "drafts" VALUES(1,2,'{"name":"Reedlight 7","typed":"7,"}','8f429e500633cfb98dac9b8f361fe19c25a810ed36b28497aceb43afdf8a3db5','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE job_checkpoints (
	job_id INTEGER NOT NULL, 
	part INTEGER NOT NULL, 
	data TEXT NOT NULL, 
	PRIMARY KEY (job_id, part), 
	CONSTRAINT fk_job_checkpoints_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "job_checkpoints" VALUES(1,0,'aGFsZiB3YXk=');
CREATE TABLE job_results (
	id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	is_complete BOOLEAN NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT fk_job_results_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "job_results" VALUES(1,1,1,0,'{"best":1}','228cc4c6409bce5c700b562e024bd0b056c41ce2e2f783b7c964f980be650b5d','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE job_states (
	job_id INTEGER NOT NULL, 
	state VARCHAR(20) NOT NULL, 
	owner VARCHAR(200) NOT NULL, 
	step VARCHAR(40) NOT NULL, 
	done INTEGER NOT NULL, 
	"of" INTEGER NOT NULL, 
	gap DOUBLE, 
	faults TEXT NOT NULL, 
	is_stop_asked BOOLEAN NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (job_id), 
	CONSTRAINT fk_job_states_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "job_states" VALUES(1,'waiting','a 1 b','start',0,0,NULL,'[]',0,'2026-03-01T09:30:00.000000+00:00');
CREATE TABLE jobs (
	id INTEGER NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	subject VARCHAR(80) NOT NULL, 
	about VARCHAR(64) NOT NULL, 
	options TEXT NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "jobs" VALUES(1,'find','reedlight-7','0000000000000000000000000000000000000000000000000000000000000000','{"version": 1}','{"name":"Reedlight 7"}','df858b3e2914b8aa4630e647974412eab45516fc3033a813297c5189f5cc11bf','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE paper_entries (
	id INTEGER NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	name VARCHAR(80) NOT NULL, 
	design_hash VARCHAR(64) NOT NULL, 
	pole_id INTEGER, 
	revision INTEGER, 
	serial VARCHAR(80) NOT NULL, 
	reason TEXT NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT fk_paper_entries_pole_id FOREIGN KEY(pole_id) REFERENCES poles (id), 
	CONSTRAINT fk_paper_entries_pole_id_revision FOREIGN KEY(pole_id, revision) REFERENCES revisions (pole_id, number)
);
INSERT INTO "paper_entries" VALUES(1,'reason','Reedlight 7','b37a16edc98ebea35d5de2ffe7ff90535f32b29578cee454308db6861ca18972',1,2,'','shown at a fair','{"checks":[["lifted",60.5,50.0]]}','607c5681747de1bc18d01812dc58fc76f8fbb8d4fef6634c9d559d746d7f88c5','Ann','2026-03-01T09:30:00.000000+00:00');
INSERT INTO "paper_entries" VALUES(2,'sheet','Reedlight 7','b37a16edc98ebea35d5de2ffe7ff90535f32b29578cee454308db6861ca18972',1,2,'R7-1','shown at a fair','{"lang":"en"}','df328ab0fa16f1c139f21fff0eb7e85ea53c8890f33783f9874ed1a9516b08af','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE poles (
	id INTEGER NOT NULL, 
	slug VARCHAR(80) NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_poles_slug UNIQUE (slug)
);
INSERT INTO "poles" VALUES(1,'reedlight-7','Ann','2026-03-01T09:30:00.000000+00:00');
INSERT INTO "poles" VALUES(2,'crookbough-5','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE revisions (
	id INTEGER NOT NULL, 
	pole_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	parent INTEGER, 
	name VARCHAR(80) NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	note TEXT NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_revisions_pole_id_number UNIQUE (pole_id, number), 
	CONSTRAINT fk_revisions_pole_id FOREIGN KEY(pole_id) REFERENCES poles (id), 
	CONSTRAINT fk_revisions_pole_id_parent FOREIGN KEY(pole_id, parent) REFERENCES revisions (pole_id, number), 
	CONSTRAINT ck_revisions_number_from_one CHECK (number >= 1), 
	CONSTRAINT ck_revisions_parent_is_older CHECK (parent < number)
);
INSERT INTO "revisions" VALUES(1,1,1,NULL,'Reedlight 7','{"name":"Reedlight 7","sections":[{"length_mm":1650.0}]}','174e32d96123ddeaaedf0d854077641dd436c0053884234a9c39c43c45650e50','begun','Ann','2026-03-01T09:30:00.000000+00:00');
INSERT INTO "revisions" VALUES(2,1,2,1,'Reedlight 7','{"name":"Reedlight 7","note":"hoop","sections":[{"length_mm":1650.0}]}','b37a16edc98ebea35d5de2ffe7ff90535f32b29578cee454308db6861ca18972','one hoop ply more','Bea','2026-03-01T09:30:00.000000+00:00');
INSERT INTO "revisions" VALUES(3,2,1,NULL,'Crookbough 5','{"name":"Crookbough 5"}','54e36a26742281565e1786c110a27d3f5896f33348ea761bba4b4f20d6120d66','','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE settings (
	"key" VARCHAR(80) NOT NULL, 
	value TEXT NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY ("key")
);
INSERT INTO "settings" VALUES('name','"Quillbeck"','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE shelf_entries (
	id INTEGER NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	"key" VARCHAR(80) NOT NULL, 
	gone BOOLEAN NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	corrects INTEGER, 
	note TEXT NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_shelf_entries_corrects UNIQUE (corrects), 
	CONSTRAINT fk_shelf_entries_corrects FOREIGN KEY(corrects) REFERENCES shelf_entries (id)
);
INSERT INTO "shelf_entries" VALUES(1,'material','axial',0,'{"id":"axial"}','74c25e3a0e202a8e508a18a236b5515b42a851a76e67dee2ab67417e484ce5b4',NULL,'','Ann','2026-03-01T09:30:00.000000+00:00');
INSERT INTO "shelf_entries" VALUES(2,'material','axial',0,'{"id":"axial","lot":"B"}','7409e2b74f507640e92072eef588c114d101f1a29112e71533265023d301176e',1,'lot was misread','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TABLE test_entries (
	id INTEGER NOT NULL, 
	serial VARCHAR(80) NOT NULL, 
	pole_id INTEGER NOT NULL, 
	revision INTEGER NOT NULL, 
	content TEXT NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	corrects INTEGER, 
	note TEXT NOT NULL, 
	who VARCHAR(80) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT fk_test_entries_pole_id FOREIGN KEY(pole_id) REFERENCES poles (id), 
	CONSTRAINT fk_test_entries_pole_id_revision FOREIGN KEY(pole_id, revision) REFERENCES revisions (pole_id, number), 
	CONSTRAINT uq_test_entries_corrects UNIQUE (corrects), 
	CONSTRAINT fk_test_entries_corrects FOREIGN KEY(corrects) REFERENCES test_entries (id)
);
INSERT INTO "test_entries" VALUES(1,'R7-1',1,2,'{"serial":"R7-1"}','cfb3a25713f2b995fb0dbe64d0789123495baa6e60ab84426e9bd9186e8d1484',NULL,'','Ann','2026-03-01T09:30:00.000000+00:00');
CREATE TRIGGER poles_no_update BEFORE UPDATE ON poles BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_delete BEFORE DELETE ON poles BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_replace_0 BEFORE INSERT ON poles WHEN EXISTS (SELECT 1 FROM poles WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_replace_1 BEFORE INSERT ON poles WHEN EXISTS (SELECT 1 FROM poles WHERE slug = NEW.slug) BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_update BEFORE UPDATE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_delete BEFORE DELETE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_replace_0 BEFORE INSERT ON revisions WHEN EXISTS (SELECT 1 FROM revisions WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_replace_1 BEFORE INSERT ON revisions WHEN EXISTS (SELECT 1 FROM revisions WHERE pole_id = NEW.pole_id AND number = NEW.number) BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER shelf_entries_no_update BEFORE UPDATE ON shelf_entries BEGIN SELECT RAISE(ABORT, 'shelf_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER shelf_entries_no_delete BEFORE DELETE ON shelf_entries BEGIN SELECT RAISE(ABORT, 'shelf_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER shelf_entries_no_replace_0 BEFORE INSERT ON shelf_entries WHEN EXISTS (SELECT 1 FROM shelf_entries WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'shelf_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER shelf_entries_no_replace_1 BEFORE INSERT ON shelf_entries WHEN EXISTS (SELECT 1 FROM shelf_entries WHERE corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'shelf_entries: kept for ever; add a further entry instead'); END;
CREATE INDEX ix_shelf_entries_kind ON shelf_entries (kind);
CREATE TRIGGER test_entries_no_update BEFORE UPDATE ON test_entries BEGIN SELECT RAISE(ABORT, 'test_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER test_entries_no_delete BEFORE DELETE ON test_entries BEGIN SELECT RAISE(ABORT, 'test_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER test_entries_no_replace_0 BEFORE INSERT ON test_entries WHEN EXISTS (SELECT 1 FROM test_entries WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'test_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER test_entries_no_replace_1 BEFORE INSERT ON test_entries WHEN EXISTS (SELECT 1 FROM test_entries WHERE corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'test_entries: kept for ever; add a further entry instead'); END;
CREATE INDEX ix_test_entries_serial ON test_entries (serial);
CREATE TRIGGER copies_no_update BEFORE UPDATE ON copies BEGIN SELECT RAISE(ABORT, 'copies: kept for ever; add a further entry instead'); END;
CREATE TRIGGER copies_no_delete BEFORE DELETE ON copies BEGIN SELECT RAISE(ABORT, 'copies: kept for ever; add a further entry instead'); END;
CREATE TRIGGER copies_no_replace_0 BEFORE INSERT ON copies WHEN EXISTS (SELECT 1 FROM copies WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'copies: kept for ever; add a further entry instead'); END;
CREATE INDEX ix_jobs_subject ON jobs (subject);
CREATE INDEX ix_job_results_job_id ON job_results (job_id);
CREATE INDEX ix_job_states_state ON job_states (state);
CREATE TRIGGER jobs_no_update BEFORE UPDATE ON jobs BEGIN SELECT RAISE(ABORT, 'jobs: kept for ever; add a further entry instead'); END;
CREATE TRIGGER jobs_no_delete BEFORE DELETE ON jobs BEGIN SELECT RAISE(ABORT, 'jobs: kept for ever; add a further entry instead'); END;
CREATE TRIGGER jobs_no_replace_0 BEFORE INSERT ON jobs WHEN EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'jobs: kept for ever; add a further entry instead'); END;
CREATE TRIGGER job_results_no_update BEFORE UPDATE ON job_results BEGIN SELECT RAISE(ABORT, 'job_results: kept for ever; add a further entry instead'); END;
CREATE TRIGGER job_results_no_delete BEFORE DELETE ON job_results BEGIN SELECT RAISE(ABORT, 'job_results: kept for ever; add a further entry instead'); END;
CREATE TRIGGER job_results_no_replace_0 BEFORE INSERT ON job_results WHEN EXISTS (SELECT 1 FROM job_results WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'job_results: kept for ever; add a further entry instead'); END;
CREATE INDEX ix_paper_entries_design_hash ON paper_entries (design_hash);
CREATE INDEX ix_paper_entries_pole_id ON paper_entries (pole_id);
CREATE TRIGGER paper_entries_no_update BEFORE UPDATE ON paper_entries BEGIN SELECT RAISE(ABORT, 'paper_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER paper_entries_no_delete BEFORE DELETE ON paper_entries BEGIN SELECT RAISE(ABORT, 'paper_entries: kept for ever; add a further entry instead'); END;
CREATE TRIGGER paper_entries_no_replace_0 BEFORE INSERT ON paper_entries WHEN EXISTS (SELECT 1 FROM paper_entries WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'paper_entries: kept for ever; add a further entry instead'); END;
COMMIT;
