// SPDX-License-Identifier: GPL-3.0-or-later
package dialarc;

/** A call of the library that could not be done: why, as a status and as a sentence. */
public class DialarcException extends RuntimeException {
    private static final long serialVersionUID = 1L;
    private final Status status;

    DialarcException(int status, String message) {
        super(message);
        this.status = Status.swigToEnum(status);
    }

    /** The status of the library, such as ERR_LIFT. */
    public Status getStatus() {
        return status;
    }
}
