// Package database connects to PostgreSQL, for inputs and outputs alike. Settings in words enter; connections leave, and errors in words in
// which no password stands.
package database

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgconn/ctxwatch"
)

// mistyped finds what may be an address with a password and without its //.
var mistyped = regexp.MustCompile(`^[^=]*:.*@`)

// secretKey finds a password among settings in words, secretUser one beside the name of a user in an address, encoded what an address encodes.
var (
	secretKey  = regexp.MustCompile(`(?i)(^|[^a-z0-9_])(ssl)?password\s*=`)
	secretUser = regexp.MustCompile(`://[^\s/@'"]*:([^/@']|'')+@`)
	encoded    = regexp.MustCompile(`%[0-9A-Fa-f]{2}`)
)

var errSecret = errors.New("has a password, which does not belong into a project file; put it into the password file (~/.pgpass) or a service file")

// HasSecret tells whether a text, such as settings or a query that connects somewhere itself, states a password.
func HasSecret(text string) bool {
	decoded := encoded.ReplaceAllStringFunc(text, func(code string) string {
		plain, _ := url.PathUnescape(code) // which a code of two digits always has
		return plain
	})
	return secretKey.MatchString(decoded) || secretUser.MatchString(text)
}

// Check says what is wrong with settings as a project file has them: empty where all is in the usual variables (PGHOST, PGSERVICE …), the name of
// a database, words such as "service=gis", or an address, postgres://host/name. They may hold no password; the error quotes none.
func Check(settings string) error {
	if HasSecret(settings) {
		return errSecret
	}
	if strings.Contains(settings, "://") {
		address, err := url.Parse(settings)
		if err != nil {
			return errors.New("is no address, expected such as postgres://host/name")
		}
		if _, has := address.User.Password(); has {
			return errSecret
		}
	}
	if !strings.Contains(settings, "://") && mistyped.MatchString(settings) {
		return errors.New("is no address, expected such as postgres://host/name")
	}
	return nil
}

// words are settings as the driver takes them.
func words(settings string) string {
	if settings == "" || strings.ContainsAny(settings, "=") || strings.Contains(settings, "://") {
		return settings
	}
	return "dbname='" + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(settings) + "'"
}

// session is what holds in every session, whatever the role, the database or the settings say: how texts go over and how literals are read.
var session = map[string]string{"application_name": "dryarc", "client_encoding": "UTF8", "standard_conforming_strings": "on"}

// cancelWithin is how long a server may take to end what is cancelled (a choice of this program).
const cancelWithin = time.Second

// connectWithin is how long each address of a server may take to let in, unless the settings say otherwise (a choice of this program).
const connectWithin = 30 * time.Second

// Connect opens a connection. What runs when ctx ends is ended on the server too.
func Connect(ctx context.Context, settings string) (*pgconn.PgConn, error) {
	if err := Check(settings); err != nil {
		return nil, err
	}
	config, err := pgconn.ParseConfig(words(settings))
	if err != nil {
		return nil, fmt.Errorf("cannot be connected to: %w", plain(err, ""))
	}
	maps.Copy(config.RuntimeParams, session)
	config.BuildContextWatcherHandler = func(c *pgconn.PgConn) ctxwatch.Handler {
		return &pgconn.CancelRequestContextWatcherHandler{Conn: c, DeadlineDelay: cancelWithin}
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = connectWithin
	}
	conn, err := pgconn.ConnectConfig(ctx, config)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, fmt.Errorf("cannot be connected to: %w", plain(err, config.Password))
	}
	return conn, nil
}

// Close ends a connection, and with it what has not been committed.
func Close(conn *pgconn.PgConn) {
	ctx, cancel := context.WithTimeout(context.Background(), cancelWithin)
	defer cancel()
	_ = conn.Close(ctx) // nothing is to be kept
}

// Rows runs a statement, with texts for its parameters, and returns its rows as texts, nil where there is nothing.
func Rows(ctx context.Context, conn *pgconn.PgConn, statement string, arguments ...string) ([][][]byte, error) {
	given := make([][]byte, len(arguments))
	for i, argument := range arguments {
		given[i] = []byte(argument)
	}
	result := conn.ExecParams(ctx, statement, given, nil, nil, nil).Read()
	return result.Rows, Problem(ctx, result.Err)
}

// errorText is an error in other words.
type errorText struct {
	text string
	err  error
}

func (e *errorText) Error() string { return e.text }

func (e *errorText) Unwrap() error { return e.err }

// plain is an error on one line, without the password.
func plain(err error, password string) error {
	text := strings.Join(strings.Fields(err.Error()), " ")
	if password != "" {
		text = strings.ReplaceAll(text, password, "…")
	}
	return &errorText{text, err}
}

// The states that are told in words of their own.
//
// Source: PostgreSQL 15 documentation, appendix A.
const (
	lockNotAvailable    = "55P03"
	deadlockDetected    = "40P01"
	dependentObjects    = "2BP01"
	queryCanceled       = "57014"
	foreignKeyViolation = "23503"
	notPrivileged       = "42501"
	readOnly            = "25006"
)

// IsProblem tells whether an error is of a connection or what a server says.
func IsProblem(err error) bool {
	var worded *errorText
	return errors.As(err, &worded)
}

// Lost tells whether an error is of the connection, and not of what was asked.
func Lost(err error) bool {
	var said *pgconn.PgError
	if !errors.As(err, &said) {
		return IsProblem(err)
	}
	return slices.ContainsFunc([]string{"08", "28", "53", "57P"}, func(class string) bool { return strings.HasPrefix(said.Code, class) })
}

// state is what a server says of a statement in a code; empty where it does not.
func state(err error) string {
	var said *pgconn.PgError
	if !errors.As(err, &said) {
		return ""
	}
	return said.Code
}

// TimedOut tells whether a statement was ended since it took, or waited, longer than it may.
func TimedOut(err error) bool { return state(err) == queryCanceled || state(err) == lockNotAvailable }

// Locked tells whether a statement failed since another session holds what it needs.
func Locked(err error) bool { return state(err) == lockNotAvailable || state(err) == deadlockDetected }

// RestedOn tells whether a statement failed since something that was not named rests on what it would drop, or rows refer, or may for all that the role
// can read, to rows that it would.
func RestedOn(err error) bool {
	return slices.Contains([]string{dependentObjects, foreignKeyViolation, notPrivileged}, state(err))
}

// patience is how much longer than a server may take it is waited for (a choice of this program).
const patience = time.Minute

// Within is for what a server has to end by itself in so much time: it ends a little later, for a server that does not answer any more.
func Within(ctx context.Context, most time.Duration) (context.Context, context.CancelFunc) {
	return context.WithTimeoutCause(ctx, most+patience, &errorText{text: fmt.Sprintf("the server has not answered for more than %s", most)})
}

// Problem words what a server says of a statement; an interruption stays what it is.
func Problem(ctx context.Context, err error) error {
	if err == nil {
		return nil
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	var said *pgconn.PgError
	if !errors.As(err, &said) {
		return &errorText{"the connection was lost: " + plain(err, "").Error(), err}
	}
	text := ""
	switch said.Code {
	case lockNotAvailable:
		text = "another session holds a lock, and has for too long: " + said.Message
	case queryCanceled:
		text = "the server ended it: " + said.Message
	case readOnly:
		text = "may only read: " + said.Message
	default:
		text = fmt.Sprintf("the server says: %s (%s)", said.Message, said.Code)
		if said.Position > 0 {
			text += fmt.Sprintf(", at character %d", said.Position)
		}
		more := []string{said.Detail, said.Hint}
		if said.Code == dependentObjects { // its hint is to drop what is somebody else's
			more = more[:1]
		}
		for _, words := range more {
			if words != "" {
				text += "; " + strings.Join(strings.Fields(words), " ")
			}
		}
	}
	return &errorText{text, err}
}
