BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
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
CREATE TRIGGER poles_no_update BEFORE UPDATE ON poles BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_delete BEFORE DELETE ON poles BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_replace_0 BEFORE INSERT ON poles WHEN EXISTS (SELECT 1 FROM poles WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER poles_no_replace_1 BEFORE INSERT ON poles WHEN EXISTS (SELECT 1 FROM poles WHERE slug = NEW.slug) BEGIN SELECT RAISE(ABORT, 'poles: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_update BEFORE UPDATE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_delete BEFORE DELETE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_replace_0 BEFORE INSERT ON revisions WHEN EXISTS (SELECT 1 FROM revisions WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
CREATE TRIGGER revisions_no_replace_1 BEFORE INSERT ON revisions WHEN EXISTS (SELECT 1 FROM revisions WHERE pole_id = NEW.pole_id AND number = NEW.number) BEGIN SELECT RAISE(ABORT, 'revisions: kept for ever; add a further entry instead'); END;
COMMIT;
