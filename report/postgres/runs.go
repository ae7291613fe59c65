package postgres

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/database"
)

// drop drops a part of a table, if it is there. A part of a table that a foreign key refers to has to be parted from it before; one that somebody has
// parted from it stays.
func (w *writer) drop(ctx context.Context, table, part string) (parted bool, err error) {
	there, err := w.rows(ctx, "select exists (select from pg_inherits where inhparent = $1::regclass and inhrelid = c.oid) from pg_class c where c.oid = to_regclass($2)", w.in(table), w.in(part))
	switch {
	case err != nil || len(there) == 0:
		return false, err
	case string(there[0][0]) != "t":
		return true, nil
	}
	if err := w.exec(ctx, "alter table "+w.in(table)+" detach partition "+w.in(part)); err != nil {
		return false, err
	}
	return false, w.exec(ctx, "drop table "+w.in(part))
}

// goodViews is what holds no run.
const goodViews = "make views of the tables, not of the part of one run, and no foreign keys"

// takeAway drops the parts of the runs that are not kept. One that something of somebody else's rests on stays, and is told.
func (w *Writing) takeAway(ctx context.Context, staged []stagedTable) error {
	gone, err := w.outdated(ctx, staged)
	if err != nil {
		return err
	}
	for _, run := range gone {
		if err := w.exec(ctx, "savepoint part"); err != nil {
			return err
		}
		var failed error
		var stay []string
		for i := range staged {
			part, parted := staged[i].Name+"_"+run, false
			if failed == nil {
				if parted, failed = w.drop(ctx, staged[i].Name, part); parted {
					stay = append(stay, part)
				}
			}
		}
		switch {
		case failed == nil:
			w.Gone = append(w.Gone, run)
			if len(stay) > 0 {
				w.Remarks = append(w.Remarks, fmt.Sprintf("run %s is taken away from schema %q, but for what somebody has detached, which stays: %s", run, w.Schema, strings.Join(stay, ", ")))
			}
			continue
		case !database.RestedOn(failed):
			return failed
		}
		if err := w.exec(ctx, "rollback to savepoint part"); err != nil {
			return err
		}
		w.Remarks = append(w.Remarks, fmt.Sprintf("run %s stays in schema %q, though it is not to be kept: %v; %s", run, w.Schema, failed, goodViews))
	}
	return w.count(ctx)
}

// outdated are the runs that are not kept: of those of the project a whole one that as many whole ones as are kept are newer than, one of some lines
// that so many of any kind are newer than; and those of which parts stand there, by names such as this program gives, and that RunsTable does not have.
func (w *writer) outdated(ctx context.Context, staged []stagedTable) (gone []string, err error) {
	add := func(rows [][][]byte, err error) error {
		for _, row := range rows {
			if run := string(row[0]); run != w.Run && !slices.Contains(gone, run) {
				gone = append(gone, run)
			}
		}
		return err
	}
	if err := add(w.rows(ctx, "select "+runColumn+" from (select "+runColumn+", "+LinesColumn+", row_number() over newest - 1 as newer, count(*) filter (where "+LinesColumn+" = $2) over (newest rows between unbounded preceding and 1 preceding) as whole from "+
		w.in(RunsTable)+" where coalesce("+ProjectColumn+", $1) = $1 window newest as (order by "+writtenColumn+" desc, "+runColumn+")) r where whole >= $3::int or "+LinesColumn+" <> $2 and newer >= $3::int order by newer desc",
		w.Project, WholeRun, strconv.Itoa(w.Keep))); err != nil {
		return nil, err
	}
	for i := range staged {
		if err := add(w.rows(ctx, "select substr(c.relname, length($2) + 2) as run from pg_inherits join pg_class c on c.oid = inhrelid where inhparent = $1::regclass and starts_with(c.relname, $2 || '_') and substr(c.relname, length($2) + 2) ~ '^[0-9a-f]{16}$' and substr(c.relname, length($2) + 2) not in (select "+
			runColumn+" from "+w.in(RunsTable)+")", w.in(staged[i].Name), staged[i].Name)); err != nil {
			return nil, err
		}
	}
	return gone, nil
}

// lookAround looks at the runs that stand there: it refuses to replace the same run of another project, and says where the run that this one is compared
// with is not among those of the project, so that its news is told nowhere. The same run of this project stays where it was compared with another, unless
// this one is compared with one that was written after it: what is news in it would be lost.
func (w *Writing) lookAround(ctx context.Context) (stays bool, err error) {
	there, _, err := w.columnsOf(ctx, RunsTable)
	if err != nil || there == nil {
		return false, err
	}
	latest, err := w.rows(ctx, "select "+momentOf("greatest(clock_timestamp(), max("+writtenColumn+") + interval '1 microsecond')")+" from "+w.in(RunsTable))
	if err != nil {
		return false, err
	}
	w.written = string(latest[0][0])
	if there[ProjectColumn] == "" {
		return false, nil
	}
	others, err := w.rows(ctx, "select "+ProjectColumn+" from "+w.in(RunsTable)+" where "+runColumn+" = $1 and "+ProjectColumn+" <> $2", w.Run, w.Project)
	switch {
	case err != nil:
		return false, err
	case len(others) > 0:
		return false, fmt.Errorf("run %s stands there already as one of the project %q, which has the same inputs, and a run stands in a schema once; try a copy out with --no-write, or let it write into a schema of its own; if the project has been moved or renamed, tell its runs so: update %s set %s = %s where %s = %s",
			w.Run, others[0][0], w.in(RunsTable), ProjectColumn, literal(w.Project), ProjectColumn, literal(string(others[0][0])))
	}
	same, err := w.rows(ctx, "select r."+SinceColumn+", exists (select from "+w.in(RunsTable)+" l where l."+runColumn+" = $2 and l."+ProjectColumn+" = r."+ProjectColumn+" and l."+writtenColumn+" > r."+writtenColumn+
		") from "+w.in(RunsTable)+" r where "+runColumn+" = $1 and "+SinceColumn+" <> $2", w.Run, w.Since)
	if err != nil {
		return false, err
	}
	if len(same) > 0 {
		with := "with none"
		if w.Since != "" {
			with = "with " + w.Since
		}
		later := string(same[0][1]) == "t"
		says := "the tables stay as they are; for this one to take its place, delete it from the table " + RunsTable + " first and run it again"
		if later {
			says = "this one, which is compared with a later run, takes its place"
		}
		w.Remarks = append(w.Remarks, fmt.Sprintf("run %s stands in schema %q already, compared with %s, and this one is compared %s: %s", w.Run, w.Schema, same[0][0], with, says))
		if !later {
			return true, w.count(ctx)
		}
	}
	if w.Since == "" {
		return false, nil
	}
	lacks, err := w.rows(ctx, "select 1 from "+w.in(RunsTable)+" where "+ProjectColumn+" = $1 having count(*) > 0 and not bool_or("+runColumn+" = $2)", w.Project, w.Since)
	if err == nil && len(lacks) > 0 {
		w.Remarks = append(w.Remarks, fmt.Sprintf("run %s, which this one is compared with, is not in schema %q, so what was new in it, or cleared by it, is told of no run there", w.Since, w.Schema))
	}
	return false, err
}

// momentOf is a moment as a text that is read alike whatever the session is set to.
func momentOf(moment string) string {
	return "to_char(" + moment + ` at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')`
}

// count counts the runs of the project.
func (w *Writing) count(ctx context.Context) error {
	kept, err := w.rows(ctx, "select count(*) from "+w.in(RunsTable)+" where coalesce("+ProjectColumn+", $1) = $1", w.Project)
	if err == nil {
		w.Kept, err = strconv.Atoi(string(kept[0][0]))
	}
	return err
}
