// SPDX-License-Identifier: GPL-3.0-or-later
package dialarc;

/** A function of several numbers, whose uncertainty is propagated. */
public interface Model {
    /** The value at these inputs. */
    double value(double[] input);
}
